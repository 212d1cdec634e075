//! The order in the Universal Business Language (OASIS UBL 2.1, document `Order`; ISO/IEC 19845), for a merchant's computer that takes
//! orders in that form.
//!
//! Given an order; gives XML in UTF-8. Units are codes of UN/ECE Recommendation 20: `C62`, one, for a pack as it is sold, `KGM` and
//! `MMT`. Whatever reads it carries it out without looking, so that lines which are only offered are not in it, and a held order
//! is never put into this form.

use super::views::{OrderView, PickLine};
use crate::model::job::Party;
use std::fmt::Write as _;

/// What stands around the document: its form and its three vocabularies.
const ROOT: &str = "Order xmlns=\"urn:oasis:names:specification:ubl:schema:xsd:Order-2\" \
                    xmlns:cac=\"urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2\" \
                    xmlns:cbc=\"urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2\"";

/// The whole file.
pub fn of_order(order: &OrderView<'_>) -> Vec<u8> {
    let mut xml = Xml::default();
    xml.group(ROOT, |xml| {
        xml.text("cbc:UBLVersionID", "2.1");
        xml.text("cbc:ID", &order.number);
        xml.text("cbc:IssueDate", &order.parties.date.to_string());
        xml.text("cbc:Note", &format!("{}: {}", order.parties.reference, order.parties.title));
        xml.text("cbc:DocumentCurrencyCode", "GBP");
        xml.text("cbc:LineCountNumeric", &order.needed().count().to_string());
        xml.group("cac:BuyerCustomerParty", |xml| {
            xml.maybe("cbc:SupplierAssignedAccountID", order.account);
            xml.party(&order.parties.firm.party, None);
        });
        xml.group("cac:SellerSupplierParty", |xml| {
            xml.group("cac:Party", |xml| xml.named(order.merchant));
        });
        xml.delivery(order);
        for (line, number) in order.needed().zip(1_usize..) {
            xml.group("cac:OrderLine", |xml| xml.group("cac:LineItem", |xml| xml.line(order, line, number)));
        }
    });
    finished(xml)
}

/// The bytes of a document.
pub(super) fn finished(xml: Xml) -> Vec<u8> {
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}", xml.written).into_bytes()
}

/// A document as it grows, two blanks for each step inwards.
#[derive(Debug, Default)]
pub(super) struct Xml {
    written: String,
    depth: usize,
}

impl Xml {
    pub(super) fn put(&mut self, line: &str) {
        let _ = writeln!(self.written, "{:depth$}{line}", "", depth = 2 * self.depth);
    }

    /// An element with others in it; its name with what stands behind it.
    pub(super) fn group(&mut self, opened: &str, fill: impl FnOnce(&mut Xml)) {
        self.put(&format!("<{opened}>"));
        self.depth += 1;
        fill(self);
        self.depth -= 1;
        self.put(&format!("</{}>", opened.split(' ').next().unwrap_or(opened)));
    }

    /// An element with a text in it.
    pub(super) fn text(&mut self, name: &str, text: &str) {
        self.put(&format!("<{name}>{}</{name}>", escaped(text)));
    }

    pub(super) fn maybe(&mut self, name: &str, text: Option<&str>) {
        if let Some(text) = text {
            self.text(name, text);
        }
    }

    /// A number with its unit.
    pub(super) fn measure(&mut self, name: &str, unit: &str, number: &str) {
        self.put(&format!("<{name} unitCode=\"{unit}\">{number}</{name}>"));
    }

    fn named(&mut self, name: &str) {
        self.group("cac:PartyName", |xml| xml.text("cbc:Name", name));
    }

    pub(super) fn address(&mut self, element: &str, lines: &[String]) {
        self.group(element, |xml| {
            for line in lines {
                xml.group("cac:AddressLine", |xml| xml.text("cbc:Line", line));
            }
        });
    }

    /// A party, with its number for VAT where that belongs there.
    pub(super) fn party(&mut self, party: &Party, vat_number: Option<&str>) {
        self.group("cac:Party", |xml| {
            xml.named(&party.name);
            xml.address("cac:PostalAddress", &party.address);
            if let Some(number) = vat_number {
                xml.group("cac:PartyTaxScheme", |xml| {
                    xml.text("cbc:CompanyID", number);
                    xml.group("cac:TaxScheme", |xml| xml.text("cbc:ID", "VAT"));
                });
            }
            if party.phone.is_some() || party.email.is_some() {
                xml.group("cac:Contact", |xml| {
                    xml.maybe("cbc:Telephone", party.phone.as_deref());
                    xml.maybe("cbc:ElectronicMail", party.email.as_deref());
                });
            }
        });
    }

    fn delivery(&mut self, order: &OrderView<'_>) {
        let days = [("cbc:StartDate", order.delivery.earliest), ("cbc:EndDate", order.delivery.latest)];
        let words: Vec<&str> = [order.delivery.note.as_deref(), order.access].into_iter().flatten().collect();
        self.group("cac:Delivery", |xml| {
            xml.address("cac:DeliveryAddress", order.parties.site);
            if days.iter().any(|(_, day)| day.is_some()) || !words.is_empty() {
                xml.group("cac:RequestedDeliveryPeriod", |xml| {
                    for (name, day) in days {
                        xml.maybe(name, day.map(|day| day.to_string()).as_deref());
                    }
                    words.iter().for_each(|words| xml.text("cbc:Description", words));
                });
            }
        });
    }

    fn line(&mut self, order: &OrderView<'_>, line: &PickLine<'_>, number: usize) {
        self.text("cbc:ID", &number.to_string());
        order.cut_to(line).iter().for_each(|size| self.text("cbc:Note", &format!("cut to {size} mm")));
        self.measure("cbc:Quantity", "C62", &line.quantity.to_string());
        self.group("cac:Item", |xml| {
            xml.text("cbc:Description", &format!("{}; pack: {}", line.description, line.pack));
            xml.text("cbc:Name", line.description);
            xml.maybe("cbc:HazardousRiskIndicator", line.hazard.map(|_| "true"));
            xml.maybe("cbc:AdditionalInformation", line.hazard);
            xml.group("cac:SellersItemIdentification", |xml| xml.text("cbc:ID", line.code));
            let mass = line.mass.map(|m| ("mass of the line", "KGM", m.as_kg().normalize().to_string()));
            let longest = line.longest.map(|l| ("longest dimension", "MMT", l.as_mm().to_string()));
            for (what, unit, number) in mass.into_iter().chain(longest) {
                xml.group("cac:Dimension", |xml| {
                    xml.text("cbc:AttributeID", what);
                    xml.measure("cbc:Measure", unit, &number);
                });
            }
        });
    }
}

/// A text as XML holds it (XML 1.0, 2.4); signs that it cannot hold at all (2.2) are left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\u{fffe}' | '\u{ffff}' => {}
            c if c.is_control() && !matches!(c, '\n' | '\t') => {}
            c => out.push(c),
        }
    }
    out
}
