//! What is told of the keys of the record of the work.

use super::told::{Told, explain};
use crate::job_file::raw::record::{RawBatches, RawCheckResult, RawLoggedWeather, RawRecord};

explain! {
    RawRecord {
        finished: "The day on which all was done.", "the completion record, from when the guarantee runs", "nothing can be handed over", "2027-01-21";
        weather: "The weather as it was read on site, an entry for each reading.", "the completion record", "nothing can be handed over", "[{day: 2027-01-19, air: 9 C, humidity: 72 %, surface: 8 C}]";
        batches: "The batch numbers on tins, drums and rolls.", "the completion record", "nothing can be handed over", "{resin: B-4471, mat: R-0920}";
        checks: "How each check of the method statement came out.", "the completion record", "nothing can be handed over", "{deck: yes}";
        variations: "How each variation that was agreed came out, by its number.", "the completion record", "nothing can be handed over where one was agreed", "{1: yes}";
        photos: "Photographs of the work, which lie in the job's folder.", "the completion record", "none are shown", "[{file: deck.jpg, caption: The new deck}]";
        left: "What is left to do, by whom and by when, a line each.", "the first page of the handover", "nothing is left to do", "[The electrician puts the aerial back in February]";
        hours: "Hours of all who did it, by the names of `wetout works`.", "what `wetout actuals` compares with the plan", "they are not compared", "{strip: 9.5 h}";
        packs: "Packs that were used, by the codes of the order.", "what `wetout actuals` compares with the order", "they are not compared", "{resin-laminating-20kg: 1.8}";
    }
    RawLoggedWeather {
        day: "On which day it was read.", "the weather log", "", "";
        air: "Temperature of the air.", "the weather log", "", "";
        humidity: "Humidity of the air.", "the weather log", "", "";
        surface: "Temperature of the surface that was laid on.", "the weather log", "", "";
        words: "What was laid then, or what else was noticed.", "the weather log", "nothing is said", "Laminate, dry all day";
    }
    RawBatches {
        resin: "Of the laminating resin, one or several.", "the completion record", "it is asked for where resin was laid", "B-4471";
        mat: "Of the glass-fibre mat.", "the completion record", "it is asked for where mat was laid", "R-0920";
        catalyst: "Of the catalyst.", "the completion record", "it is asked for where resin or topcoat was laid", "C-118";
        topcoat: "Of the topcoat.", "the completion record", "it is asked for where topcoat was laid", "[T-2203, T-2204]";
    }
    RawCheckResult {
        passed: "Whether it passed.", "the completion record", "", "";
        words: "What is said of it; needed where it did not pass.", "the completion record", "nothing is said", "Two boards renewed at the back";
    }
}
