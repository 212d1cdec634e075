//! Every test of the project, in one binary.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should panic")]
#![allow(unreachable_pub, reason = "what the parts of one binary share is `pub` between them")]

mod agreed;
mod boundary;
mod box_gutters;
mod command;
mod cpu_time;
mod cutting;
mod deck;
mod demo;
mod documents;
mod drawings;
mod edges;
mod facts;
mod falls;
mod fuzz;
mod goldens;
mod goods;
mod hazards;
mod job_files;
mod job_rules;
mod layout_json;
mod limits;
mod lines;
mod loads;
mod mat;
mod neighbours;
mod night_sheet;
mod old_roofs;
mod openings;
mod options;
mod outlets;
mod own_fonts;
mod parapets;
mod photographs;
mod pricing;
mod programme;
mod records;
mod reference;
mod replay;
mod shape;
mod short_forms;
mod silence;
mod site_words;
mod support;
mod syntax;
mod templates;
mod tidy;
mod ties;
mod trims;
mod warm_roof;
mod water;
mod whole_pages;
mod words;
mod works;
