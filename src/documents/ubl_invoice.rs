//! Invoices and credit notes in the Universal Business Language (OASIS UBL 2.1, documents `Invoice` and `CreditNote`; ISO/IEC 19845), for
//! a customer whose computer takes them in that form.
//!
//! Given what is printed; gives XML in UTF-8 with the same lines and sums. Units are codes of UN/ECE Recommendation 20: `C62`, one,
//! for a stage or a variation as a whole. Kinds of document are codes of UN/ECE 1001 (380, 381), ways to pay of UN/ECE 4461 (30, a
//! credit transfer), categories of tax of UN/ECE 5305 (`S`, `Z`, `AE`): all from memory. A request for payment is no invoice and
//! has no such form.

use super::invoice::{InvoiceForm, InvoiceView};
use super::ubl::{Xml, finished};
use crate::pricing::Money;
use crate::pricing::invoicing::InvoiceSums;
use rust_decimal::Decimal;

/// What stands around an invoice, and around a credit note.
const ROOTS: [&str; 2] = [
    "Invoice xmlns=\"urn:oasis:names:specification:ubl:schema:xsd:Invoice-2\" \
     xmlns:cac=\"urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2\" \
     xmlns:cbc=\"urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2\"",
    "CreditNote xmlns=\"urn:oasis:names:specification:ubl:schema:xsd:CreditNote-2\" \
     xmlns:cac=\"urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2\" \
     xmlns:cbc=\"urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2\"",
];

/// The whole file; `None` of what has no number, and of a request for payment.
pub fn of_invoice(view: &InvoiceView<'_>) -> Option<Vec<u8>> {
    let number = view.number.filter(|_| view.form != InvoiceForm::Request)?;
    let mut xml = Xml::default();
    let credits = view.credits;
    let [invoice, credit] = ROOTS;
    xml.group(if credits.is_some() { credit } else { invoice }, |xml| {
        xml.text("cbc:UBLVersionID", "2.1");
        xml.text("cbc:ID", number);
        xml.head(view);
        xml.text("cbc:DocumentCurrencyCode", "GBP");
        xml.text("cbc:LineCountNumeric", &view.parts().len().to_string());
        if let Some(credited) = credits {
            xml.group("cac:DiscrepancyResponse", |xml| {
                xml.text("cbc:ReferenceID", credited.number);
                xml.text("cbc:Description", credited.because);
            });
            xml.group("cac:BillingReference", |xml| {
                xml.group("cac:InvoiceDocumentReference", |xml| {
                    xml.text("cbc:ID", credited.number);
                    xml.text("cbc:IssueDate", &credited.on.to_string());
                });
            });
        }
        xml.group("cac:ContractDocumentReference", |xml| {
            xml.text("cbc:ID", &format!("{}-{}", view.parties.reference, view.accepted.revision));
            xml.text("cbc:DocumentType", &format!("quotation, accepted on {}", view.accepted.on));
        });
        let firm = view.parties.firm;
        xml.group("cac:AccountingSupplierParty", |xml| {
            xml.party(&firm.party, firm.vat_number.as_deref().filter(|_| view.form.shows_vat()));
        });
        xml.group("cac:AccountingCustomerParty", |xml| xml.party(view.parties.customer, view.customer_vat_number));
        xml.group("cac:Delivery", |xml| xml.address("cac:DeliveryAddress", view.parties.site));
        if credits.is_none() {
            xml.payment(view, number);
        }
        xml.taxes(view);
        xml.group("cac:LegalMonetaryTotal", |xml| {
            xml.money("cbc:LineExtensionAmount", view.sums.net);
            xml.money("cbc:TaxExclusiveAmount", view.sums.net);
            xml.money("cbc:TaxInclusiveAmount", view.sums.total);
            if view.credit > Money::ZERO {
                xml.money("cbc:PrepaidAmount", view.credit);
            }
            xml.money("cbc:PayableAmount", view.to_pay());
        });
        for (part, place) in view.parts().into_iter().zip(1_usize..) {
            let (line, quantity) = match credits {
                Some(_) => ("cac:CreditNoteLine", "cbc:CreditedQuantity"),
                None => ("cac:InvoiceLine", "cbc:InvoicedQuantity"),
            };
            xml.group(line, |xml| xml.part(view, part, (quantity, place)));
        }
    });
    Some(finished(xml))
}

/// The category of tax and its rate; nothing of a firm that is not registered.
fn category(view: &InvoiceView<'_>) -> Option<(&'static str, Decimal)> {
    match view.form {
        InvoiceForm::Invoice | InvoiceForm::Request => None,
        InvoiceForm::ReverseCharge => Some(("AE", Decimal::ZERO)),
        InvoiceForm::VatInvoice if view.rate.is_zero() => Some(("Z", Decimal::ZERO)),
        InvoiceForm::VatInvoice => Some(("S", view.rate)),
    }
}

impl Xml {
    /// The dates, the kind and what it says in words, in the order of each document.
    fn head(&mut self, view: &InvoiceView<'_>) {
        let date = view.parties.date;
        let point = view.form.shows_vat().then(|| view.tax_point.unwrap_or(date).to_string());
        let note = format!("{}: {}", view.parties.reference, view.parties.title);
        self.text("cbc:IssueDate", &date.to_string());
        if view.credits.is_some() {
            self.maybe("cbc:TaxPointDate", point.as_deref());
            self.text("cbc:CreditNoteTypeCode", "381");
            self.text("cbc:Note", &note);
        } else {
            self.text("cbc:DueDate", &view.due.to_string());
            self.text("cbc:InvoiceTypeCode", "380");
            self.text("cbc:Note", &note);
            self.maybe("cbc:TaxPointDate", point.as_deref());
        }
    }

    fn payment(&mut self, view: &InvoiceView<'_>, number: &str) {
        let Some(bank) = &view.parties.firm.bank else { return };
        self.group("cac:PaymentMeans", |xml| {
            xml.text("cbc:PaymentMeansCode", "30");
            xml.text("cbc:PaymentDueDate", &view.due.to_string());
            xml.text("cbc:PaymentID", number);
            xml.group("cac:PayeeFinancialAccount", |xml| {
                xml.text("cbc:ID", &bank.number);
                xml.text("cbc:Name", &bank.name);
                xml.group("cac:FinancialInstitutionBranch", |xml| xml.text("cbc:ID", &bank.sort_code));
            });
        });
    }

    fn taxes(&mut self, view: &InvoiceView<'_>) {
        let Some(category) = category(view) else { return };
        self.group("cac:TaxTotal", |xml| {
            xml.money("cbc:TaxAmount", view.sums.vat);
            xml.group("cac:TaxSubtotal", |xml| {
                xml.money("cbc:TaxableAmount", view.sums.net);
                xml.money("cbc:TaxAmount", view.sums.vat);
                let reason = format!(
                    "Reverse charge: customer to pay the VAT to HMRC, GBP {} at {} %",
                    view.sums.by_customer,
                    view.rate.normalize()
                );
                let reason = (view.form == InvoiceForm::ReverseCharge).then_some(reason);
                xml.category("cac:TaxCategory", category, reason.as_deref());
            });
        });
    }

    fn category(&mut self, element: &str, (code, rate): (&str, Decimal), reason: Option<&str>) {
        self.group(element, |xml| {
            xml.text("cbc:ID", code);
            xml.text("cbc:Percent", &rate.normalize().to_string());
            xml.maybe("cbc:TaxExemptionReason", reason);
            xml.group("cac:TaxScheme", |xml| xml.text("cbc:ID", "VAT"));
        });
    }

    fn part(
        &mut self,
        view: &InvoiceView<'_>,
        (what, extent, sums): (String, String, InvoiceSums),
        (quantity, place): (&str, usize),
    ) {
        self.text("cbc:ID", &place.to_string());
        self.measure(quantity, "C62", "1");
        self.money("cbc:LineExtensionAmount", sums.net);
        self.group("cac:Item", |xml| {
            xml.text("cbc:Description", &format!("{what}; {extent}"));
            xml.text("cbc:Name", view.parties.title);
            if let Some(category) = category(view) {
                xml.category("cac:ClassifiedTaxCategory", category, None);
            }
        });
        self.group("cac:Price", |xml| xml.money("cbc:PriceAmount", sums.net));
    }

    fn money(&mut self, name: &str, sum: Money) {
        self.put(&format!("<{name} currencyID=\"GBP\">{sum}</{name}>"));
    }
}
