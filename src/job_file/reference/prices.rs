//! What is told of the keys of a price book.

use super::told::{Told, explain};
use crate::job_file::raw::prices::{RawArticle, RawBreak, RawMerchant, RawPriceList, RawPrices};

explain! {
    RawPrices {
        merchant: "Who sells it, and what a delivery costs.", "the order", "", "{name: Example Merchant, delivery: 45.00}";
        dated: "The day of the price list.", "a warning where it is old", "", "";
        list: "The merchant's own price list, a table (CSV) beside this file: it gives the price of each article that has none here, by its code, and an article for each of its lines that has a role.", "what can be bought, for how much", "every article stands here with its price", "example-merchant.csv";
        articles: "What the merchant sells.", "what can be bought, in which packs, for how much", "", "";
    }
    RawPriceList {
        file: "The file, beside this one.", "what is read", "", "";
        role: "The heading over the role of each line.", "which lines are articles without being written here", "a column headed `role`, if there is one", "Use";
        code: "The heading over the merchant's codes.", "which line gives the price of which article", "the column headed `code`", "Product code";
        description: "The heading over the descriptions.", "the order", "a column headed `description`", "Product";
        pack: "The heading over the packs in words.", "the order", "a column headed `pack`", "Unit";
        holds: "The heading over what a pack holds.", "how many packs are bought", "a column headed `holds`", "Content";
        price: "The heading over the price of a pack without VAT.", "cost", "the column headed `price`", "Trade price";
        mass: "The heading over the mass of a pack.", "lifting", "a column headed `mass`", "Weight";
        size: "The heading over the sizes by which an article is chosen.", "which article fits", "a column headed `size`", "Diameter";
        length: "The heading over the lengths.", "how pieces are cut", "a column headed `length`", "Length";
        width: "The heading over the widths.", "how pieces are cut", "a column headed `width`", "Width";
        thickness: "The heading over the thicknesses.", "levels, mass", "a column headed `thickness`", "Thickness";
        longest: "The heading over the longest sides.", "what can be carried", "a column headed `longest`", "Longest side";
        hazard: "The heading over what is dangerous in it.", "what the crew is told", "a column headed `hazard`", "Hazard";
    }
    RawMerchant {
        name: "Name as it is printed.", "the order", "", "";
        address: "Address, a line an entry.", "the order", "it is not printed", "[Dock Road, Anytown]";
        phone: "The telephone number of the merchant.", "the order", "it is not printed", "01632 960155";
        email: "Electronic mail address.", "the order", "it is not printed", "orders@merchant.example";
        account: "Your account with the merchant.", "the order", "it is not printed", "EXAMPLE-ROOFING";
        delivery: "What a delivery costs.", "cost, and from whom what is bought", "", "";
        free_delivery_from: "An order from which delivery is free.", "cost, and from whom what is bought", "delivery is always paid", "900.00";
        preferred: "How much another merchant must save to be used beside this one.", "from whom what is bought", "no merchant is preferred", "25.00";
        lead_days: "Working days from the order to the delivery.", "a warning where it comes too late", "it is not judged", "3";
    }
    RawArticle {
        role: "What it is to the program.", "which need it covers", "", "";
        code: "The merchant's own code.", "the order", "", "";
        description: "What the merchant calls it.", "the order", "", "";
        pack: "The pack, in words.", "the order", "", "";
        holds: "What a pack holds, in the role's unit.", "how many packs are bought", "", "";
        price: "A pack's price, without VAT.", "cost", "the article is not bought while it has none", "15.40";
        mass: "A pack's mass.", "lifting, loads, weight on the joists", "it is not counted", "16.6 kg";
        longest: "Its longest side as it is delivered, or the longest piece that is cut.", "what can be carried; joints of long timbers", "it is not known", "2.4 m";
        hazard: "What is dangerous in it, as its data sheet has it.", "what merchant and crew are told", "nothing is told; asked for of what is dangerous by its nature", "isocyanate";
        size: "The size by which it is chosen: a pipe's diameter, a gutter's or a wall's width.", "which article fits", "it fits any size", "110 mm";
        length: "Length of a board, trim or sheet.", "how pieces are cut", "needed where pieces are cut from it", "2400 mm";
        width: "Width of a board, mat or sheet.", "how pieces are cut", "needed where pieces are cut from it", "590 mm";
        thickness: "Thickness of a board.", "levels, mass, U-value", "needed for boards", "18 mm";
        edge: "How boards meet.", "whether joints may lie between joists", "square", "tongued";
        flange: "A trim's flange on the roof.", "mitres, bandage, adhesive", "the rule `mitre_allowance`", "90 mm";
        leg: "A leg of a corner piece.", "how much shorter the trims beside it are", "nothing is taken off", "150 mm";
        density: "Density of a liquid that is measured by volume.", "millilitres of catalyst", "that of a usual catalyst", "1.15 g/ml";
        lambda: "Conductivity, of insulation or of a screw.", "U-value", "the job gives it", "0.022 W/mK";
        diameter: "A screw's diameter.", "heat through the screws", "they are not counted", "4.8 mm";
        least: "The fewest packs that are sold.", "how many are bought", "1", "2";
        breaks: "Lower prices from so many packs on.", "cost", "one price for any number", "[{from: 40, price: 14.60}]";
    }
    RawBreak {
        from: "From so many packs on.", "cost", "", "";
        price: "A pack's price from then on.", "cost", "", "";
    }
}
