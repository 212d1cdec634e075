"""Dew points by psychrolib (PyPI), which follows the ASHRAE Handbook, Fundamentals, for tests/programme.rs.

Air from 0 to 40 °C and humidity from 20 to 100 %, wherever the dew point lies above freezing: below it psychrolib goes over
ice, and the Magnus form over water.

    python3 -m venv venv && venv/bin/pip install psychrolib==2.5.0 && venv/bin/python tests/outside/dew_point.py > tests/outside/dew_point.json
"""

import json

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)


def cases():
    for air in range(0, 41):
        for humidity in (20, 35, 40, 50, 60, 65, 70, 75, 80, 82, 84, 85, 90, 95, 100):
            dew = psychrolib.GetTDewPointFromRelHum(float(air), humidity / 100)
            if dew > 0:
                yield {"air": air, "humidity": humidity, "dew_point": round(dew, 6)}


print(json.dumps({"psychrolib": "2.5.0", "cases": list(cases())}, indent=None, separators=(",", ":")).replace("},", "},\n"))
