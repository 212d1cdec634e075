//! What is told of the keys of the firm file, and of the tables among its rules.

use super::told::{Told, explain};
use crate::job_file::raw::firm::{
    RawBank, RawCovering, RawFirm, RawGuarantee, RawMail, RawMoney, RawOldWaste, RawParty, RawPerson, RawRate,
    RawRateFrom, RawSurface, RawTip, RawVat,
};
use crate::job_file::raw::retention::RawRetention;
use crate::job_file::raw::rules::{RawByFinish, RawDose, RawGelPoint};

explain! {
    RawFirm {
        firm: "Who you are.", "the head of every document", "", "{name: Example Roofing, address: [1 Example Yard, Anytown], phone: 01632 960114}";
        guarantee: "What you guarantee, and for how long.", "the quote", "", "{years: 20, words: We guarantee the laminate against letting water in.}";
        people: "Who works on the roof; the first leads on site.", "hours and their cost, who is named in the method statement", "", "[{name: A. Roofer, role: installer, hour: 28.00}]";
        weather_watch: "Who watches the forecast, by name.", "method statement", "nobody is named", "A. Roofer";
        holidays: "Days on which nobody works.", "the dates of the days on site", "weekends alone", "[2026-12-25]";
        terms: "Your terms, a paragraph each.", "the quote", "no terms are printed", "[Materials stay ours until they are paid for.]";
        exclusions: "What is never included unless the quote says so.", "the quote", "no list is printed", "[Repairs to ceilings inside]";
        needs: "What you ask of the householder.", "the quote", "no list is printed", "[Access for a van]";
        payment: "How to pay, a line each.", "the quote", "nothing is printed", "[By bank transfer]";
        bank: "The account that customers pay into.", "invoices", "no account is printed on them", "{name: Example Roofing Ltd, sort_code: 00-00-00, account: 00000000}";
        lift: "How packs are lifted, where a job does not say.", "the check against the lifting filter, drops of the order", "the most careful figures", "{reach: close, column: women, payload: 1000 kg}";
        coverings: "Old coverings that you add to those known, or with figures of your own.", "skips, hours and waste of what is stripped", "those that the program knows", "[{key: clay tiles, words: clay tiles, volume: 0.05 m3/m2, mass: 60 kg/m2, hours: 0.40 h/m2, waste: {code: 17 01 03, how: Skip.}}]";
        tips: "Ways to tip that you add.", "what loads cost and hold", "skip, van and customer", "[{key: grab lorry, words: take it away by grab lorry, crew: It goes onto the heap by the road., load: grab load, loads: grab loads, cost: 310.00, holds: 12 m3}]";
        surfaces: "Surfaces of the topcoat that you add.", "aggregate, topcoat and hours", "smooth and slip-resistant", "[{key: coarse grip, words: slip-resistant, role: aggregate.coarse, grade: 1 to 2 mm, rate: 1.6 kg/m2, topcoat: 100 %, hours: 0.20 h/m2}]";
        mail: "The server that takes your mail, for `wetout mail --send`.", "what is sent by mail", "nothing is sent; drafts are written all the same", "{server: smtp.example.com, user: office@example-roofing.example}";
        money: "What things cost you, and how you sell.", "cost and price", "", "";
        rules: "Laps, gaps, spacings, coverage, doses and hours by which you lay roofs.", "what is laid, bought and timed", "every rule has a usual value", "{nail_spacing: 120 mm}";
    }
    RawParty {
        name: "Name as it is printed.", "the head of every document", "", "";
        address: "Address, a line an entry.", "the head of every document", "", "";
        email: "Electronic mail address.", "the head of every document", "it is not printed", "office@example-roofing.example";
        phone: "The telephone number that customers ring.", "the head of every document", "it is not printed", "01632 960114";
        legal: "Who stands behind the name, as the law asks: of a company its registered name and number.", "the foot of quotes, orders and invoices", "it is not printed", "Example Roofing is a trading name of Example Ltd";
        registered_in: "Of a company: the part of the United Kingdom in which it is registered.", "the foot of quotes, orders and invoices", "it is not printed", "England and Wales";
        registered_office: "Of a company: its registered office, on one line.", "the foot of quotes, orders and invoices", "it is not printed", "1 Example Yard, Anytown";
        vat_number: "Your VAT number.", "the quote", "needed where you are registered", "GB 000 0000 00";
        logo: "A PNG or JPEG next to this file.", "the head of every document", "your name alone", "logo.png";
        accent: "The one colour of the documents.", "lines and headings", "a dark blue-green", "\"#1f5f7a\"";
        insurance: "Your insurance in a sentence.", "the quote", "it is not printed", "Public liability 5 million pounds";
    }
    RawBank {
        name: "The name of the account, as the bank has it: it is compared when somebody pays.", "invoices", "", "";
        sort_code: "Its sort code.", "invoices", "", "";
        account: "Its number.", "invoices", "", "";
    }
    RawMail refuses [password] {
        server: "Name of the server that takes your mail, as whoever keeps your mailbox tells it.", "where mail is handed over", "", "";
        port: "Its port.", "where mail is handed over", "587 for `starttls`, 465 for `tls`, 25 for `none`", "587";
        security: "How the way there is kept from others; `none` only for a server on this very computer.", "where mail is handed over", "starttls", "tls";
        user: "Who logs in there; the password is taken from WETOUT_MAIL_PASSWORD.", "where mail is handed over", "nobody logs in", "office@example-roofing.example";
        from: "The address that mail is from.", "the head of every message", "the address of `firm`", "quotes@example-roofing.example";
        certificate: "A file next to this one with the certificate (PEM) of the authority of a server that nobody else vouches for.", "whether the server is believed", "the authorities that everybody knows", "mail-authority.pem";
    }
    RawGuarantee {
        years: "For how many years a new roof is guaranteed.", "the quote", "", "";
        words: "What is guaranteed, and what is not.", "the quote", "", "";
        repair_years: "For how many years patches and new topcoats are.", "the quote of a repair", "none is given", "5";
        repair_words: "What of a repair is guaranteed.", "the quote of a repair", "none is given", "We guarantee the patches that we have laid.";
        from: "From which day it runs: when the work was finished, when it was handed over, or when the last of the price was paid.", "the quote and the guarantee certificate", "completion", "completion";
        void: "What ends it, a line each.", "the quote and the guarantee certificate", "nothing is listed", "[Anything fixed through the roof by others]";
        claim: "How it is claimed.", "the quote and the guarantee certificate", "in writing, to your address", "Write to us within 14 days and let us look before anything is touched.";
        transfer: "Whether and how it passes to a new owner of the house.", "the quote and the guarantee certificate", "nothing is said, and you are told", "It passes to a new owner who writes to us within 60 days.";
    }
    RawPerson {
        name: "Name as it is printed.", "method statement", "", "";
        role: "What they do.", "method statement", "", "";
        phone: "Telephone on site.", "method statement", "it is not printed", "07700 900118";
        hour: "What an hour costs you; it never leaves the office.", "cost", "give `hour` or `day`", "28.00";
        day: "What a whole day costs you, for somebody who is paid by days.", "cost", "give `hour` or `day`", "220.00";
    }
    RawRetention {
        rate: "How much of each payment is kept back.", "what is asked for now, and what later", "", "5 %";
        until: "Until when: months after the last day on site, or a day.", "when it is asked for", "", "6 months";
    }
    RawMoney {
        travel_day: "Travel for a day on site, both ways.", "cost", "", "";
        overhead: "Overhead, a part of the direct cost.", "cost", "", "";
        contingency: "What is put aside for the unforeseen, a part of the direct cost.", "cost", "0 %", "3 %";
        margin: "Your margin, a part of the price.", "price", "give `margin` or `markup`", "25 %";
        markup: "Your markup, a part of the cost.", "price", "give `margin` or `markup`", "33 %";
        least_margin: "A price that leaves less is warned of.", "a warning", "nothing is warned of", "15 %";
        vat: "Whether you are registered for VAT, and its rate.", "VAT and total", "", "";
        skip: "A skip, hired and taken away.", "cost of what is stripped", "", "";
        skip_volume: "What a skip holds.", "how many are hired", "", "";
        skip_mass: "What a skip may weigh.", "how many are hired", "skips are counted by volume alone", "6000 kg";
        van_load: "A load in your own van, tipped.", "cost where a job says `tip: van`", "`tip: van` is refused", "38.00";
        van_volume: "What the van holds.", "how many loads there are", "needed with `van_load`", "1.5 m3";
        van_mass: "What it may carry.", "how many loads there are", "loads are counted by volume alone", "650 kg";
        strip_volume: "Loose volume of a square metre of old covering, whatever it is.", "skips and loads", "the figures of each covering", "0.03 m3";
        strip_mass: "What a square metre of old covering weighs, whatever it is.", "skips and loads", "the figures of each covering", "12 kg";
        scaffold: "A scaffold, where a job says yes and gives no sum; with `scaffold_metre` what it costs before the first metre.", "price", "", "";
        scaffold_metre: "The same for each metre of edge that it stands at: every edge that one can fall over. Put up, taken down and hired for a week.", "price", "a scaffold costs the same at every roof", "25.00";
        scaffold_week: "The hire of such a metre for each further week in which there is work.", "price", "a longer job costs no more", "3.50";
        access: "The sums of the access questions that a job answers with yes.", "price", "such an answer needs a sum in the job", "{parking: 18.00}";
        access_day: "The same, for each day on site.", "price", "nothing a day", "{parking: 6.00}";
        minimum_charge: "No job is sold for less, without VAT.", "price", "there is none", "850.00";
        round_total_to: "The total is a whole number of these.", "price", "it is not rounded", "5.00";
        stages: "When how much is paid; the last payment takes the rest.", "the payments in the quote", "", "";
        retention: "What customers keep back of each payment until the work has stood its time.", "the quote, invoices, the account", "nothing is kept back", "{rate: 5 %, until: 6 months}";
        payment_days: "In how many days an invoice is to be paid.", "invoices, and what is overdue", "14 days", "14";
        rot_rates: "Unit rates for rot and the like, agreed beforehand.", "a table in the quote", "no rates are printed", "[{item: joist replaced, unit: m, rate: 38.00}]";
    }
    RawCovering {
        key: "The word that a job uses.", "what `strip: {covering: …}` may say", "", "";
        words: "What is read after `the old`.", "quote and method statement", "", "";
        volume: "Loose volume of a square metre.", "skips and loads", "", "";
        mass: "Mass of a square metre.", "skips and loads", "", "";
        hours: "Hours to strip a square metre.", "hours", "", "";
        waste: "What becomes of it.", "method statement", "", "";
    }
    RawOldWaste {
        code: "Its code in the List of Wastes.", "method statement", "", "";
        how: "Where it goes.", "method statement", "", "";
    }
    RawTip {
        key: "The word that a job uses.", "what `strip: {tip: …}` may say", "", "";
        words: "What is read after `strip the old covering and`.", "quote", "", "";
        crew: "Where the crew puts it, in a sentence.", "method statement", "", "";
        load: "One load, in words.", "quote and workings", "", "";
        loads: "Several loads, in words.", "quote and workings", "", "";
        cost: "What a load costs.", "cost", "", "";
        holds: "What a load holds.", "how many loads there are", "", "";
        bears: "What a load may weigh.", "how many loads there are", "loads are counted by volume alone", "14000 kg";
    }
    RawSurface {
        key: "The word that a job uses.", "what `topcoat: {finish: …}` may say", "", "";
        words: "What customer and crew read.", "quote and method statement", "", "";
        role: "The aggregate's role in the price book.", "what is ordered", "", "";
        grade: "Its grade, in words.", "order and method statement", "", "";
        rate: "Aggregate on a square metre.", "what is ordered", "", "";
        topcoat: "Topcoat of the second coat, a part of the first.", "what is ordered", "", "";
        hours: "Hours for a square metre.", "hours", "", "";
    }
    RawVat {
        registered: "Whether you are registered.", "whether VAT is added, or paid on materials", "", "";
        rate: "The rate of VAT.", "VAT and total", "needed", "20 %";
        rates: "Rates that hold from a day on.", "VAT by the day on which the work ends", "the one rate holds", "[{from: 2027-04-01, rate: 20 %}]";
        rounding: "How pence of VAT are rounded.", "VAT", "total nearest", "total down";
    }
    RawRateFrom {
        from: "The first day.", "VAT by the day on which the work ends", "", "";
        rate: "The rate from then on.", "VAT", "", "";
    }
    RawRate {
        item: "What is done.", "the table of rates in the quote", "", "";
        unit: "For what it is charged.", "the table of rates in the quote", "", "";
        rate: "The rate without VAT; the quote prints it with VAT.", "the table of rates in the quote", "", "";
        charges: "What of a variation is charged at this rate without naming it; one rate may say `boards`.", "what `boards` of a variation are sold for", "only what names the rate is", "boards";
    }
    RawByFinish {
        drip: "At a drip.", "what the rule is for", "the usual value", "0 mm";
        raised: "At a raised edge.", "what the rule is for", "the usual value", "60 mm";
        wall: "At a wall.", "what the rule is for", "the usual value", "100 mm";
        kerb: "At a kerb.", "what the rule is for", "the usual value", "150 mm";
        step: "Under tiles or slates.", "what the rule is for", "the usual value", "300 mm";
        gutter: "Into a box gutter.", "what the rule is for", "the usual value", "100 mm";
    }
    RawDose {
        from: "From this air temperature.", "which row is taken", "", "";
        to: "Up to this one.", "which row is taken", "", "";
        laminate: "Catalyst in laminating resin, by mass.", "the mix card", "", "";
        topcoat: "Catalyst in topcoat, by mass.", "the mix card", "", "";
    }
    RawGelPoint {
        temperature: "Temperature of the resin.", "gel times, pot sizes", "", "";
        dose: "Catalyst by mass.", "gel times, pot sizes", "", "";
        minutes: "Minutes until it gels.", "gel times, pot sizes", "", "";
    }
}
