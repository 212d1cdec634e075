//! What is told of the keys of a job file that stand at its left margin and of the groups there; roofs have a table of their own.

use super::told::{Told, explain};
use crate::job_file::raw::checks::RawLift;
use crate::job_file::raw::job::{
    RawClaim, RawConditions, RawCustomer, RawDelivery, RawExtra, RawJob, RawOption, RawOrderLine, RawPhoto, RawPrice,
    RawQuote, RawSilence, RawSite, RawStage, RawStrip, RawWithout,
};

explain! {
    RawJob {
        reference: "Your own number for the job.", "printed on every document, so that quote, order and sheet are found together", "", "";
        title: "What the job is called, in a few words.", "printed at the top of every document", "", "";
        prepared: "The day on which the job is priced.", "the date of the documents, for how long the quote stands, and how old the prices are", "", "";
        start: "The first day on site.", "the dates of the days in the method statement, and whether the order can come in time", "the days are numbered and have no dates", "2027-01-18";
        customer: "Who asked for the roof.", "quote: name and address, and to whom it is sent", "", "{name: A. Householder, address: [1 Example Street, Anytown]}";
        site: "Where the roof is and what the place is like.", "address on order and method statement, scaffold, asbestos question", "the customer's address is taken", "same";
        access: "Questions that are always asked, because they are always forgotten.", "what the quote includes, and its price", "what is not answered is not in the price, and the quote says so", "{scaffold: yes, permits: no, parking: 18.00}";
        scaffold_is: "What is put up for working at height, as the customer reads it.", "its name in quote, price and method statement", "it is called `scaffold or edge protection`", "edge protection on three sides";
        conditions: "Weather and surface as they are expected on the day.", "catalyst, pot sizes, gel times, and whether the laminate can be laid at all", "the mix card shows every row, and pots are sized for 20 C", "{air: 8 C to 14 C, humidity: 75 %}";
        roofs: "Each roof that is laid, repaired or coated.", "everything: boards, trims, mat, resin, hours, price", "", "";
        strip: "The old covering that comes off, and how it leaves.", "hours, skips or loads, waste, what the crew is told", "nothing is stripped, and `check` says that it was taken so", "{covering: felt, tip: skip}";
        asbestos: "Whether there is asbestos in what is touched.", "warnings and what the crew must not touch; not known counts as yes", "it is asked where an old covering comes off a building from before 2000, or nobody said what comes off", "no";
        flashing: "Who cuts the flashing into the wall.", "hours, metal, wedges and sealant", "the firm does it", "us";
        delivery: "When the merchant may deliver, and what he should know.", "the order, and a warning where the merchant's days do not reach", "the order names no day", "{earliest: 2027-01-13, latest: 2027-01-15}";
        boundary: "How far the nearest boundary is from the roof.", "whether the class in fire is enough", "the check in fire is left open", "1.2 m";
        roof_class: "The class of the roof in fire from outside, as the data sheet of the system has it.", "the check against the distance to the boundary", "the check says that the class is not known", "B";
        lift: "How packs are lifted.", "the check of packs and boards against the lifting filter, and in how many drops the order comes", "the firm file's, or else the most careful figures", "{zones: [elbow to knuckle], reach: close, column: men}";
        wind_from: "The edge from which the wind mostly comes.", "the order in which the strips of mat are laid", "the wind is left out", "front";
        extras: "What is sold beside the roof.", "the price, and a line in the quote", "nothing is sold beside the roof", "[{item: New fascia board, cost: 96.40}]";
        order_lines: "Goods for this job alone that no rule counts: a fascia board, a rooflight.", "order, price and quote, and what is looked at on site; what the customer supplies is told alone", "nothing besides what the roof takes", "[{item: white fascia board, article: own.fascia-225, count: 2}]";
        options: "The same job with a small change, priced anew.", "the quote shows what each adds or saves, with a box to tick", "no alternative is offered", "[{name: Green topcoat, change: {roofs: {all: {topcoat: {colour: green}}}}}]";
        price: "What was agreed of the price, or the margin of this job alone.", "the total, and how it is shown", "the firm file's margin makes the price", "{discount: 5 %, because: second roof in one year}";
        rules: "Rules that hold for this job alone.", "whatever the rule changes; the firm's own sheet shows what each costs", "the firm's rules hold", "{nail_spacing: 120 mm}";
        silence: "Warnings that are known and left, each with the reason.", "`check` lists them as silenced, with the reason; nothing else prints them", "every warning is given", "[{warning: fall, because: agreed with the customer in writing}]";
        quote: "What the quote says beside price and work.", "for how long it stands, notes, exclusions, payments", "the firm file's words and payments", "{valid_days: 30}";
        photos: "Photographs of the roof as it is.", "pictures in the quote, each with its caption", "no pictures", "[{file: front.jpg, caption: From the garden}]";
    }
    RawSilence {
        warning: "The name of the warning, as it stands in brackets behind it.", "every warning of that name, on all roofs and in all options, is listed as silenced", "", "";
        because: "The reason why it is left.", "`check` prints it beside the warning", "", "";
    }
    RawCustomer {
        name: "Name as it is printed.", "quote", "", "";
        address: "Address, a line an entry.", "quote; also the site, where that says `same`", "", "";
        email: "Electronic mail address.", "quote", "it is not printed", "a.householder@home.example";
        phone: "The telephone number of the customer.", "quote and method statement", "it is not printed", "01632 960182";
        also_signs: "Who signs besides, where a roof is for several households: each by name.", "a signature of their own under the acceptance and each variation", "one signs", "[B. Householder]";
        vat_number: "The customer's VAT number, where it is a business that is registered.", "invoices", "it is not printed", "GB 000 0000 00";
        reverse_charge: "Whether the customer accounts for the VAT: building work for a VAT-registered business within the Construction Industry Scheme that is not the end user. Ask for that in writing.", "no VAT is charged in quote and invoice, and both say so", "VAT is charged as usual", "yes";
    }
    RawSite {
        address: "Where the roof is: lines, or `same` for the customer's address.", "order (where to deliver) and method statement", "the customer's address", "same";
        eaves_height: "From the ground to the eaves.", "scaffold, ladder and what the crew is told of working at height", "nothing is taken from it", "2.6 m";
        built_before_2000: "Whether the building stood before 2000.", "whether asbestos must be asked for", "it may have, so asbestos is asked for", "yes";
        access: "How to get there, in your words.", "method statement and order", "nothing is said", "side gate 900 mm wide";
        hospital: "The nearest emergency department.", "method statement, for an accident", "a line is left to fill in", "Anytown General, Hospital Road";
    }
    RawConditions {
        air: "Air temperature while the laminate is laid, one figure or from the coldest to the warmest.", "catalyst, gel time, size of the pots, warnings for frost and heat", "the table is printed for every temperature", "5 C to 12 C";
        humidity: "Humidity of the air.", "the dew point, and whether the laminate may be laid", "it is left to measure on the day", "75 %";
        surface: "Temperature of the surface that is laid on.", "whether it stays far enough above the dew point", "it is left to measure on the day", "9 C";
        night_low: "Lowest temperature of the night after.", "whether the laminate cures", "it is left open", "6 C";
        moisture: "Moisture in the deck.", "whether it is dry enough for resin", "it is left to measure on the day", "14 %";
        dry_hours: "Dry hours that the forecast gives.", "whether they are enough for the laminate", "it is left open", "8 h";
    }
    RawStrip {
        covering: "What comes off.", "volume and mass for the skip, hours, what becomes of the waste", "", "";
        tip: "How it leaves the site.", "loads, their cost, and what the crew does with it", "", "";
        boards: "How thick the boards of the old deck are, where a new deck takes their place: they are lifted and tipped too. `none` where the joists stand bare.", "hours, skips or loads, waste, how high walls stand above the new roof, quote and method statement", "the old boards stay out of the price, and `check` says so where the deck is new", "18 mm";
    }
    RawDelivery {
        earliest: "First day on which the merchant may deliver.", "the order", "no day is named", "2027-01-13";
        latest: "The last day on which it may come.", "the order, and a warning where he needs longer", "no day is named", "2027-01-15";
        note: "What the driver should know.", "the order", "nothing is said", "no lorry over 7.5 t in the close";
    }
    RawLift {
        zones: "The heights that the hands pass through.", "the lifting filter that packs and boards are held to", "all of them", "[elbow to knuckle]";
        reach: "How far from the body the load is held.", "the lifting filter", "close", "close";
        column: "Whose figures of the filter hold.", "the lifting filter", "women, whose figures hold for nearly everybody", "men";
        payload: "What the vehicle or hoist takes at once.", "in how many drops the order comes", "one drop is counted", "1000 kg";
    }
    RawExtra {
        item: "What it is, as the customer reads it.", "a line in the quote", "", "";
        cost: "What it costs you.", "the price, with your margin on it", "give one of `cost`, `cost_a_day` and `price`", "96.40";
        cost_a_day: "What it costs you for each day on site.", "the price, with your margin, as often as there are days", "give one of `cost`, `cost_a_day` and `price`", "45.00";
        price: "What it is sold for, without VAT.", "the price, as it stands", "give one of `cost`, `cost_a_day` and `price`", "85.00";
        optional: "Whether the customer may leave it out.", "a box to tick; in no total", "no", "yes";
        provisional: "Whether nobody can size it yet.", "shown as a provisional sum, in no total", "no", "yes";
        in_total: "Whether a provisional sum is in the total.", "the total", "no for a provisional sum, yes for all else", "yes";
        during: "The operation in which it is done.", "the step in the method statement", "finish: when the topcoat is hard", "prepare";
    }
    RawOrderLine {
        item: "What it is, as customer and crew read it.", "quote, method statement, and the name in the price", "", "";
        article: "The role that the price book gives it, of the family `own.`.", "the line of the order, its price and weight", "needed for what you buy", "own.fascia-225";
        count: "How many of it.", "the order and the price", "one", "2";
        supply: "Who supplies it.", "with `customer` it is on no order and in no price, and the quote asks for it", "us", "customer";
        during: "The operation in which it is fitted.", "the step in the method statement", "finish for what you buy; what the customer supplies is then fitted by others", "prepare";
        hours: "Hours of one person for fitting all of it.", "the days and the cost of labour", "fitting takes no time of its own: it is in the works of the roof or in an extra", "1.5 h";
        roof: "The roof that it is for, by its name.", "the day on which it is fitted, and with `prices: by roof` the line of the price", "it is for the whole job, and fitted on the first day that opens a roof or at the end", "Main roof";
    }
    RawOption {
        name: "What the customer reads.", "a line of the quote, with a box to tick", "", "";
        change: "The settings that change, as they stand in the job; roofs and holes by their names, `all` for every one.", "the option's price: the roof is laid out and priced anew", "give `change` or `without`", "{roofs: {all: {laminate: {mat: 600}}}}";
        without: "What of the job's lists the option leaves out, by name.", "the option's price", "nothing is left out", "{extras: [New fascia board]}";
        one_of: "A word that several options share: of them only one can be taken.", "the totals of what can be had together, and the words beside the option", "it can be had with every other", "colour";
        needs: "Options that it can only be taken with, by their names.", "its price, which is beside theirs, and the totals", "it can be had alone", "Heavier mat";
        show: "Whether its price is shown as a difference or as a total.", "the quote", "difference", "total";
    }
    RawWithout {
        extras: "Extras that it leaves out.", "the option's price", "none", "[New fascia board]";
        order_lines: "Order lines that it leaves out, by their `item`.", "the option's price", "none", "[white fascia board]";
        roofs: "Roofs that it leaves out.", "layout and price of the option", "none", "[Porch]";
        patches: "Patches that it leaves out.", "layout and price of the option", "none", "[split by the wall]";
        holes: "Holes that it leaves out.", "layout and price of the option", "none", "[rooflight]";
        notes: "Notes that it leaves out, word for word.", "what the quote says beside the option", "none", "[The rooflight stays in place.]";
        exclusions: "Exclusions that it leaves out, word for word.", "what the quote says beside the option", "none", "[Painting]";
    }
    RawPrice {
        discount: "What comes off the price: a percentage or a sum.", "the total", "nothing comes off", "5 %";
        agreed: "The total that was agreed, with VAT.", "the total, met to the penny", "the price follows from cost and margin", "5800.00";
        because: "Why, as the customer reads it.", "the line of the discount in the quote", "no reason is printed", "second roof in one year";
        shown: "Whether the quote shows the discount as a line.", "the quote", "yes", "no";
        margin: "The margin of this job alone, a part of the price.", "the price", "the firm file's", "20 %";
        markup: "The markup of this job alone, a part of the cost.", "the price", "the firm file's", "30 %";
        retention: "What this customer keeps back of each payment until the work has stood its time.", "the quote, invoices, the account", "the firm file's", "{rate: 5 %, until: 6 months}";
    }
    RawQuote {
        valid_days: "For how many days the quote stands.", "the last day on which it can be accepted", "30 days", "30";
        notes: "What the customer should know of this job.", "a list in the quote", "no notes", "[The rooflight stays in place.]";
        exclusions: "What is not in the price of this job, beside the firm's list.", "a list in the quote", "the firm's list alone", "[Painting of the ceiling below]";
        stages: "When how much is paid; the last payment takes the rest.", "the payments in the quote", "the firm file's payments", "[{when: Deposit, part: 25 %}, {when: On completion, part: rest}]";
        vat: "A rate of VAT that this job claims, with the reason.", "VAT and total", "the firm file's rate", "{rate: 5 %, reason: empty two years}";
        prices: "Whether the price is parted by work or by roof.", "the lines of the quote", "by part", "by roof";
    }
    RawClaim {
        rate: "The rate that is claimed.", "VAT and total", "", "";
        reason: "Why it holds.", "printed beside the rate", "", "";
    }
    RawStage {
        when: "When it is paid, as the customer reads it.", "the payments in the quote", "", "";
        part: "How much: a percentage, a sum, or `rest`.", "the payments in the quote", "", "";
        after: "The work after which it is due.", "the date of the payment", "no date is named", "topcoat";
    }
    RawPhoto {
        file: "The file's name, in the job's folder.", "the pages of pictures", "", "";
        caption: "What it shows.", "printed below it", "it has no caption", "From the garden";
    }
}
