//! How what is stripped leaves the site.
//!
//! Given nothing; gives the ways that the program knows, and one form for those that a firm adds. What a load costs and
//! holds stands with the firm's money: a way that nobody has priced cannot be sold.

/// How what is stripped leaves the site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tipping {
    /// The word of the job file.
    pub key: String,
    /// What is done, as the householder reads it after `strip the old covering and`: `take it away by skip`.
    pub words: String,
    /// Where the crew puts it, in a sentence.
    pub crew: String,
    /// One load and several, in words.
    pub load: (String, String),
    /// Who pays for it: a firm that leaves it to the customer has no cost and takes nothing away.
    pub by_firm: bool,
}

/// The keys of the ways that the firm file prices by settings of their own.
pub const SKIP: &str = "skip";
/// See [`SKIP`].
pub const VAN: &str = "van";

/// Every way that the program knows by itself.
pub fn built_in() -> Vec<Tipping> {
    let way = |key: &str, words: &str, crew: &str, load: (&str, &str), by_firm| Tipping {
        key: key.to_owned(),
        words: words.to_owned(),
        crew: crew.to_owned(),
        load: (load.0.to_owned(), load.1.to_owned()),
        by_firm,
    };
    vec![
        way(SKIP, "take it away by skip", "It goes into the skip, no higher than its sides.", ("skip", "skips"), true),
        way(
            VAN,
            "take it in our van to a licensed site",
            "It goes into the van, tied down, no more than the van may carry. The waste transfer note goes with it.",
            ("van load", "van loads"),
            true,
        ),
        way(
            "customer",
            "stack it on your ground for you to have taken away",
            "Stack it where the customer has said, clear of the way off and of the boundary. They have it taken away.",
            ("load", "loads"),
            false,
        ),
    ]
}
