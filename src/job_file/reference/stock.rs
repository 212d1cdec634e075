//! What is told of the keys of a stock list.

use super::told::{Told, explain};
use crate::job_file::raw::stock::{RawStock, RawVanLine};

explain! {
    RawStock {
        counted: "The day on which it was counted.", "what `wetout stock` prints", "", "";
        after: "The jobs whose use and left-overs are in the list already.", "`wetout stock --after` takes none of them off twice", "none", "[26-041]";
        van: "What stands in the van, a line for each batch.", "what is not bought again", "", "";
    }
    RawVanLine {
        role: "What it is to the program, as in the price book.", "which need it covers", "", "";
        size: "The size by which it is chosen: a trim's length, a pipe's diameter.", "which need it covers", "it has no size", "3.0 m";
        amount: "How much of it is left, in the role's unit.", "how much less is bought", "", "";
        batch: "The batch, as it stands on the tin.", "topcoat is taken of one batch alone", "it is not known", "LR-2291";
        use_by: "The last day on which it may be used.", "what is past it is not counted", "it keeps", "2027-03-01";
        kept_for: "The reference of the only job that it may be taken for.", "no other order counts on it", "any job", "26-066";
        note: "Your own note.", "what `wetout stock` prints", "none", "behind the driver's seat";
    }
}
