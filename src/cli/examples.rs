//! Examples that stand under the help of each command, and what to do first.
//!
//! Given nothing; gives text. A test types every command that stands here.

/// What the program says when it is called with nothing behind its name.
pub(super) const FIRST: &str = "\
wetout makes the quote, the merchant's order and the site's method statement of a glass-fibre flat roof from one file
in which you write down what you measured.

What to do first:
  1. Look at a finished job:            wetout make jobs/kitchen-extension
  2. Begin your firm and its prices:    wetout new --firm my-jobs
  3. Begin a job, question by question: wetout new my-jobs/smith
  4. See what is wrong or doubtful:     wetout check my-jobs/smith
  5. Write the three documents:         wetout make my-jobs/smith

`wetout help edges` tells what a key of a file is for, `wetout help` lists them all, `wetout --help` the commands.
";

/// Under the help of the program.
pub(super) const OF_ALL: &str = "\
Examples:
  wetout check jobs/kitchen-extension      what is wrong, doubtful or not said
  wetout make jobs/kitchen-extension       quote, order and method statement into its folder `out`
  wetout help edges.gutter                 how a gutter is written";

/// Under that of `survey`.
pub(super) const SURVEY: &str = "\
Examples:
  wetout survey                            survey.pdf, a page for one roof
  wetout survey --roofs 2 --out jobs       for two roofs, into a folder
  wetout survey --questions                what is asked, by name, for scripts";

/// Under that of `new`.
pub(super) const NEW: &str = "\
Examples:
  wetout new my-jobs/smith                          question by question
  wetout new my-jobs/smith --from survey.pdf        from a form that was filled in
  wetout new my-jobs/next --from jobs/bay           the roofs of an earlier job
  wetout new my-jobs/shed --customer \"J. Smith\" --rectangle 4.2x2.4m --edge front=drip
  wetout new --firm my-jobs --prices list.csv       the firm file, with a merchant's list";

/// Under that of `check`.
pub(super) const CHECK: &str = "\
Examples:
  wetout check jobs/kitchen-extension      one job, before it is priced
  wetout check jobs                        every job of a folder";

/// Under that of `takeoff`.
pub(super) const TAKEOFF: &str = "\
Examples:
  wetout takeoff jobs/bay                            boards, trims, bandage, mat, resin and topcoat
  wetout takeoff jobs/bay --why laminate.resin       how the resin was worked out";

/// Under that of `price`.
pub(super) const PRICE: &str = "\
Examples:
  wetout price jobs/bay                    what the roof costs you, hours and margin
  wetout price jobs/bay --why cost.labour  what the hours cost, and why
  wetout price jobs/bay --date 2026-12-01  at the prices of another day";

/// Under that of `quote`.
pub(super) const QUOTE: &str = "\
Examples:
  wetout quote jobs/bay                    the quote into the job's folder `out`
  wetout quote jobs/bay --out -            to another program";

/// Under that of `order`.
pub(super) const ORDER: &str = "\
Examples:
  wetout order jobs/bay                    what the merchant delivers, as PDF and as a table
  wetout order jobs/bay --ubl              and for a computer that takes orders in UBL 2.1";

/// Under that of `method`.
pub(super) const METHOD: &str = "\
Examples:
  wetout method jobs/bay                   the crew's set, operation by operation, then the office's part
  wetout method jobs/bay --crew            the crew's set alone, for the van
  wetout method jobs/bay --office          hazards, waste, plan of the site, briefing, for the file
  wetout method jobs/bay --day 2           what is done on the second day, on one page for the pocket";

/// Under that of `draw`.
pub(super) const DRAW: &str = "\
Examples:
  wetout draw jobs/bay                     what there is: plans, trims, deck, mat, sections
  wetout draw jobs/bay --svg               each as a file of its own, true to scale when printed";

/// Under that of `make`.
pub(super) const MAKE: &str = "\
Examples:
  wetout make jobs/bay                     the three documents of a job
  wetout make jobs                         of every job of a folder that has changed since
  wetout make jobs --anew                  of every job of a folder
  wetout make jobs/bay --quiet             without a word, unless something is wrong";

/// Under that of `watch`.
pub(super) const WATCH: &str = "\
Examples:
  wetout watch my-jobs/smith               make the documents, and again at every save, until Ctrl-C
  wetout watch my-jobs/smith --poll        where the files lie on a drive that says nothing of saves";

/// Under that of `invoice`.
pub(super) const INVOICE: &str = "\
Examples:
  wetout invoice jobs/bay --stage 1 --on 2026-12-03 --draft    what the invoice will look like; takes no number
  wetout invoice jobs/bay --stage 1 --on 2026-12-03            the first payment, under the next number";

/// Under that of `variation`.
pub(super) const VARIATION: &str = "\
Examples:
  wetout variation jobs/bay jobs/bay/found.yaml --on 2026-12-14 --draft    what it comes to; takes no number
  wetout variation jobs/bay jobs/bay/found.yaml --on 2026-12-14            for both to sign
  wetout variation jobs/bay --agreed 1 --on 2026-12-15 --name \"R. Patel\"  it is signed
  wetout invoice jobs/bay --variation 1 --on 2026-12-16                    at once; else with the last stage";

/// Under that of `receipt`.
pub(super) const RECEIPT: &str = "\
Examples:
  wetout receipt jobs/bay 1 --paid 450.00 --on 2026-12-09          paid by bank transfer
  wetout receipt jobs/bay 1 --paid 20 --on 2026-12-10 --by cash    a part of it, in cash
  wetout receipt jobs/bay --cancel 2 --because \"none came\" --on 2026-12-11   what was recorded wrongly";

/// Under that of `account`.
pub(super) const ACCOUNT: &str = "\
Examples:
  wetout account jobs/bay                      what is open, and a statement for the customer
  wetout account jobs/bay --json               the same for another program";

/// Under that of `handover`.
pub(super) const HANDOVER: &str = "\
Examples:
  wetout handover jobs/bay --form              a record to fill in, for record.yaml beside the job
  wetout handover jobs/bay --draft             the pages with lines to fill in by hand
  wetout handover my-jobs/smith                once all is recorded: frozen, for the householder";

/// Under that of `actuals`.
pub(super) const ACTUALS: &str = "\
Examples:
  wetout actuals jobs/kitchen-extension        hours by work and packs, against the plan
  wetout actuals jobs                          every job with a record, and the norms that they show";

/// Under that of `mail`.
pub(super) const MAIL: &str = "\
Examples:
  wetout issue jobs/kitchen-extension quote                  first of all: freeze what is to be sent
  wetout mail jobs/kitchen-extension quote                   a draft for your mail program, in the job's folder `out`
  wetout mail jobs/kitchen-extension quote --send --dry-run  what would go to whom, by which server
  wetout mail my-jobs/smith quote --send                     send it; the password is in WETOUT_MAIL_PASSWORD
  wetout mail my-jobs/smith order --send                     each order to its merchant
  wetout mail my-jobs/smith invoice --number 2 --send        an invoice to the customer";

/// Under that of `stock`.
pub(super) const STOCK: &str = "\
Examples:
  wetout stock jobs/patch-and-coat             what stands in the van, and what is past its use-by
  wetout stock --after jobs/patch-and-coat     the list as it stands once that job is done";

/// Under that of `prices` and `prices update`.
pub(super) const PRICES: &str = "\
Examples:
  wetout prices update jobs/december.csv --prices jobs/prices.yaml            what would change
  wetout prices update jobs/december.csv --prices jobs/prices.yaml --write    into the price book
  wetout prices update my-jobs/list.xlsx --column price=\"Tier 2\"             a heading that is not plain";

/// Under that of `completions`.
pub(super) const COMPLETIONS: &str = "\
Examples:
  wetout completions bash > ~/.local/share/bash-completion/completions/wetout
  wetout completions powershell >> $PROFILE";

/// Under that of `licences`.
pub(super) const LICENCES: &str = "\
Examples:
  wetout licences                          each library with its version and licence";

/// Under that of `man`.
pub(super) const MAN: &str = "\
Examples:
  wetout man > ~/.local/share/man/man1/wetout.1";

/// Under that of `issue`.
pub(super) const ISSUE: &str = "\
Examples:
  wetout issue jobs/kitchen-extension quote     the quote as revision A, never to be written over
  wetout issue --check jobs               whether all that was issued is as it was";

/// Under that of `accept`.
pub(super) const ACCEPT: &str = "\
Examples:
  wetout accept jobs/kitchen-extension signed.pdf     from the PDF that came back, which must lie there
  wetout accept jobs/kitchen-extension --options 1 --on 2026-12-02 --name \"R. Patel\"     a box ticked on paper";

/// Under that of `decline`.
pub(super) const DECLINE: &str = "\
Examples:
  wetout decline jobs/dormer --on 2026-12-02 --because \"too dear\"";

/// Under that of `withdraw`.
pub(super) const WITHDRAW: &str = "\
Examples:
  wetout withdraw jobs/kitchen-extension --on 2026-12-09     what was accepted is taken back";

/// Under that of `list`.
pub(super) const LIST: &str = "\
Examples:
  wetout list jobs                         how every job stands, what is due first on top
  wetout list jobs --state sent            the quotes that wait for an answer";

/// Under that of `compare`.
pub(super) const COMPARE: &str = "\
Examples:
  wetout compare jobs/kitchen-extension A B     what changed from one revision to the other";
