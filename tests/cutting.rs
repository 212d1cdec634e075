//! Tests of the cutting solver: published instances, brute force on small ones, and a general-purpose solver's answers.

use crate::cpu_time::CpuTime;
use std::time::Duration;
use wetout::cutting::boards::saw_boards;
use wetout::cutting::{
    Demand, EFFORT, Joining, RUN_EFFORT, RunPlan, RunPlanFault, RunWanted, SoldLength, StockFault, StockLength,
    StockPlan, cut_runs, cut_stock,
};
use wetout::model::Length;

const fn mm(n: i64) -> Length {
    Length::mm(n)
}

/// Numbers that look random and are the same every time (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn up_to(&mut self, low: i64, high: i64) -> i64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + (self.0 % (high - low + 1) as u64) as i64
    }
}

fn longest_offcut(plan: &RunPlan) -> Length {
    plan.bars.iter().map(|b| b.offcut).max().unwrap_or(Length::ZERO)
}

// ---- The classical problem ---------------------------------------------------------------------------------------

fn demands(of: &[(i64, u32)]) -> Vec<Demand> {
    of.iter().map(|&(length, count)| Demand { length: mm(length), count }).collect()
}

fn lengths(of: &[(i64, u32)]) -> Vec<StockLength> {
    of.iter().map(|&(length, cost)| StockLength { length: mm(length), cost }).collect()
}

/// Solves, and checks the plan by counting: every piece is there, no length is overfull, the cost adds up.
fn solved(wanted: &[(i64, u32)], stock: &[(i64, u32)], kerf: i64) -> StockPlan {
    let plan = cut_stock(&demands(wanted), &lengths(stock), mm(kerf), EFFORT).unwrap();
    let mut cut = vec![0; wanted.len()];
    let mut cost = 0;
    for pattern in &plan.patterns {
        let pieces: i64 = pattern.pieces.iter().map(|&(_, n)| i64::from(n)).sum();
        let load: i64 = pattern.pieces.iter().map(|&(d, n)| wanted[d].0 * i64::from(n)).sum();
        assert!(load + (pieces - 1) * kerf <= stock[pattern.stock].0, "a length is overfull: {pattern:?}");
        pattern.pieces.iter().for_each(|&(d, n)| cut[d] += n * pattern.times);
        cost += i64::from(stock[pattern.stock].1) * i64::from(pattern.times);
    }
    assert_eq!(cut, wanted.iter().map(|w| w.1).collect::<Vec<_>>(), "not every piece is cut");
    assert_eq!(cost, plan.proof.found);
    assert!(plan.proof.bound <= plan.proof.found);
    plan
}

fn proven(wanted: &[(i64, u32)], stock: i64) -> i64 {
    let plan = solved(wanted, &[(stock, 1)], 0);
    assert!(plan.proof.is_proven(), "{:?}", plan.proof);
    plan.proof.found
}

fn one_each(of: &[i64]) -> Vec<(i64, u32)> {
    of.iter().map(|&length| (length, 1)).collect()
}

/// Widths and counts as in the worked example of the article "Cutting stock problem", Wikipedia.
#[test]
fn paper_rolls_take_73() {
    let rolls = [
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ];
    assert_eq!(proven(&rolls, 5600), 73);
}

/// Chvátal, Linear Programming (1983), chapter 13, as in the GAMS model library.
#[test]
fn chvatals_rolls_take_453() {
    assert_eq!(proven(&[(45, 97), (36, 610), (31, 395), (14, 211)], 100), 453);
}

/// Fourer, Gay and Kernighan, AMPL (from memory).
#[test]
fn the_ampl_books_rolls_take_47() {
    assert_eq!(proven(&[(75, 8), (55, 10), (50, 24), (45, 35), (20, 48)], 110), 47);
}

/// Winston, Operations Research: boards of 17 ft; demand read in course notes.
#[test]
fn winstons_boards_take_19() {
    assert_eq!(proven(&[(3, 25), (5, 20), (9, 15)], 17), 19);
}

/// The small cutting-stock instance that comes with PyPI `pyvpsolver`; 33 by an arc-flow model in HiGHS 1.16.
#[test]
fn six_sizes_from_5180_take_33() {
    assert_eq!(proven(&[(1120, 9), (1250, 5), (520, 91), (1066, 18), (1000, 11), (1150, 64)], 5180), 33);
}

/// Falkenauer (1996), triplets: t60_00.
#[test]
fn the_first_triplets_take_20() {
    let sizes = [
        495, 474, 473, 472, 466, 450, 445, 444, 439, 430, 419, 414, 410, 395, 372, 370, 366, 366, 366, 363, 361, 357,
        355, 351, 350, 350, 347, 320, 315, 307, 303, 299, 298, 298, 292, 288, 287, 283, 275, 275, 274, 273, 273, 272,
        272, 271, 269, 269, 268, 263, 262, 261, 259, 258, 255, 254, 252, 252, 252, 251,
    ];
    assert_eq!(proven(&one_each(&sizes), 1000), 20);
}

/// Falkenauer (1996), uniform: u120_00, in which first fit takes 49.
#[test]
fn the_first_uniform_sizes_take_48() {
    let sizes = [
        98, 98, 98, 96, 96, 94, 93, 93, 92, 91, 91, 90, 87, 86, 85, 85, 84, 84, 84, 84, 84, 83, 83, 82, 82, 81, 80, 80,
        80, 79, 79, 78, 78, 78, 78, 76, 74, 74, 73, 73, 73, 73, 72, 71, 70, 70, 70, 69, 69, 69, 67, 66, 64, 62, 62, 60,
        60, 59, 58, 58, 58, 57, 57, 57, 57, 55, 55, 55, 50, 49, 49, 49, 47, 46, 46, 45, 45, 44, 44, 43, 43, 43, 43, 42,
        42, 42, 42, 42, 41, 41, 41, 39, 39, 38, 38, 38, 37, 36, 36, 36, 35, 33, 33, 33, 32, 32, 30, 30, 30, 29, 28, 27,
        27, 26, 25, 25, 24, 23, 23, 20,
    ];
    assert_eq!(proven(&one_each(&sizes), 150), 48);
}

/// Triplets of our own, made so that three of them fill a length of 1000 to the millimetre: the plan is perfect.
#[test]
fn triplets_that_fill_every_length_are_found() {
    let mut dice = Dice(88_172_645_463_325_252);
    for n in [20, 20, 20, 40] {
        let sizes: Vec<i64> = (0..n).flat_map(|_| triplet(&mut dice)).collect();
        assert_eq!(proven(&one_each(&sizes), 1000), n);
    }
}

fn triplet(dice: &mut Dice) -> [i64; 3] {
    loop {
        let (a, b) = (dice.up_to(250, 499), dice.up_to(250, 499));
        if (250..500).contains(&(1000 - a - b)) {
            return [a, b, 1000 - a - b];
        }
    }
}

/// Small random instances against a search that shares nothing with the solver.
#[test]
fn small_instances_agree_with_brute_force() {
    let mut dice = Dice(20_261_125);
    for _ in 0..400 {
        let kerf = dice.up_to(0, 2);
        let stock: Vec<(i64, u32)> = match dice.up_to(0, 2) {
            0 => vec![(dice.up_to(20, 40), 1)],
            1 => vec![(30, 31), (50, 48)],
            _ => vec![(20, 23), (30, 31), (50, 48)],
        };
        let longest = stock.iter().map(|s| s.0).max().unwrap();
        let wanted: Vec<(i64, u32)> = (0..dice.up_to(1, 7)).map(|_| (dice.up_to(3, longest), 1)).collect();
        let plan = solved(&wanted, &stock, kerf);
        let sizes: Vec<i64> = wanted.iter().map(|w| w.0).collect();
        assert_eq!(plan.proof.found, cheapest_by_hand(&sizes, &stock, kerf), "{wanted:?} from {stock:?}, kerf {kerf}");
        assert!(plan.proof.is_proven(), "{wanted:?} from {stock:?}: {:?}", plan.proof);
    }
}

/// Every way of sharing pieces out into lengths.
fn cheapest_by_hand(sizes: &[i64], stock: &[(i64, u32)], kerf: i64) -> i64 {
    fn share(rest: &[i64], bars: &mut Vec<i64>, stock: &[(i64, u32)], kerf: i64) -> i64 {
        let Some((piece, rest)) = rest.split_first() else {
            let cost = |load: &i64| stock.iter().filter(|s| s.0 >= *load).map(|s| i64::from(s.1)).min();
            return bars.iter().map(cost).sum::<Option<i64>>().unwrap_or(i64::MAX);
        };
        let longest = stock.iter().map(|s| s.0).max().unwrap_or(0);
        let mut best = i64::MAX;
        for b in 0..bars.len() {
            if bars[b] + kerf + piece <= longest {
                bars[b] += kerf + piece;
                best = best.min(share(rest, bars, stock, kerf));
                bars[b] -= kerf + piece;
            }
        }
        bars.push(*piece);
        best = best.min(share(rest, bars, stock, kerf));
        bars.pop();
        best
    }
    share(sizes, &mut Vec::new(), stock, kerf)
}

#[test]
fn a_kerf_is_lost_between_pieces_but_not_after_the_last() {
    assert_eq!(solved(&[(998, 3)], &[(3000, 1)], 3).proof.found, 1);
    assert_eq!(solved(&[(999, 3)], &[(3000, 1)], 3).proof.found, 2);
}

#[test]
fn the_same_length_asked_for_twice_is_shared_out_as_asked() {
    let plan = solved(&[(700, 2), (400, 1), (700, 3)], &[(1500, 1)], 0);
    assert_eq!(plan.proof.found, 3);
}

#[test]
fn when_the_work_runs_out_the_gap_is_told() {
    let mut dice = Dice(7);
    let sizes: Vec<i64> = (0..40).flat_map(|_| triplet(&mut dice)).collect();
    let plan = cut_stock(&demands(&one_each(&sizes)), &lengths(&[(1000, 1)]), mm(0), 100_000).unwrap();
    assert!(plan.proof.bound == 40 && plan.proof.found > 40, "{:?}", plan.proof);
}

#[test]
fn what_cannot_be_cut_is_named() {
    let cut = |wanted: &[(i64, u32)], stock: &[(i64, u32)], kerf| {
        cut_stock(&demands(wanted), &lengths(stock), mm(kerf), EFFORT).unwrap_err()
    };
    assert_eq!(cut(&[(10, 1), (31, 1)], &[(20, 1), (30, 1)], 0), StockFault::TooLong(1));
    assert_eq!(cut(&[(10, 1), (0, 1)], &[(30, 1)], 0), StockFault::NoLength(1));
    assert_eq!(cut(&[(10, 1)], &[], 0), StockFault::NoStock);
    assert_eq!(cut(&[(10, 1)], &[(30, 0)], 0), StockFault::NoStock);
    assert_eq!(cut(&[(10, 1)], &[(30, 1)], -1), StockFault::Kerf);
}

// ---- Runs joined from pieces -------------------------------------------------------------------------------------

fn runs(of: &[i64]) -> Vec<RunWanted> {
    of.iter().map(|&length| RunWanted { length: mm(length), single: false }).collect()
}

fn sold(of: &[(i64, Option<u64>)]) -> Vec<SoldLength> {
    of.iter().map(|&(length, pence)| SoldLength { length: mm(length), pence }).collect()
}

const USUAL: Joining = Joining { lap: mm(50), shortest: mm(300), extra_laps: 0, kerf: mm(0) };

/// Cuts, and checks the plan by counting.
fn joined(wanted: &[RunWanted], stock: &[(i64, Option<u64>)], joining: &Joining) -> RunPlan {
    let plan = cut_runs(wanted, &sold(stock), joining, RUN_EFFORT).unwrap();
    check_runs(wanted, stock, joining, &plan);
    plan
}

fn check_runs(wanted: &[RunWanted], stock: &[(i64, Option<u64>)], joining: &Joining, plan: &RunPlan) {
    let longest = stock.iter().map(|s| s.0).max().unwrap();
    for (run, pieces) in wanted.iter().zip(&plan.runs) {
        let k = pieces.len() as i64;
        let least = fewest(run.length.as_mm(), longest, joining.lap.as_mm());
        assert!(k >= least && k <= least + i64::from(joining.extra_laps), "{k} pieces for {run:?}");
        assert!(k == 1 || !run.single);
        let all: Length = pieces.iter().map(|p| p.length).sum();
        assert_eq!(all, run.length + joining.lap * (k - 1), "{pieces:?} for {run:?}");
        assert!(k == 1 || pieces.iter().all(|p| p.length >= joining.shortest), "{pieces:?}");
    }
    let mut seen = 0;
    for (b, bar) in plan.bars.iter().enumerate() {
        assert!(stock.iter().any(|s| mm(s.0) == bar.stock));
        let load: Length = bar.cuts.iter().map(|&(r, p)| plan.runs[r][p].length).sum();
        let n = bar.cuts.len() as i64;
        assert!(load + joining.kerf * (n - 1) <= bar.stock && n > 0, "overfull: {bar:?}");
        assert_eq!(bar.offcut, (bar.stock - load - joining.kerf * n).max(Length::ZERO));
        assert!(bar.cuts.iter().all(|&(r, p)| plan.runs[r][p].bar == b));
        seen += bar.cuts.len();
    }
    assert_eq!(seen, plan.runs.iter().map(Vec::len).sum::<usize>());
    assert!(plan.proof.bound <= plan.proof.found);
}

fn fewest(length: i64, stock: i64, lap: i64) -> i64 {
    (1..).find(|k| length + (k - 1) * lap <= k * stock).unwrap()
}

/// A kitchen extension of 5.2 m by 3.4 m, worked by hand: 5.2 m at the front is 3000 and 2250; the sides of 3.4 m are
/// 3000 and 450 each.
#[test]
fn offcuts_of_one_run_serve_another() {
    let plan = joined(&runs(&[3400, 3400]), &[(3000, None)], &USUAL);
    assert_eq!((plan.bars.len(), plan.laps()), (3, 2));
    assert!(plan.proof.is_proven());
    assert_eq!(longest_offcut(&plan), mm(2100));
}

/// A group is cut as it was when it was asked whether it can be: of two runs of one length the one that may be joined comes in
/// its place. 2245 and 1494 and one of 407 may not be joined; all six are 5774 of the 5955 that two lengths give with a lap.
#[test]
fn runs_of_one_length_that_may_and_may_not_be_joined_come_out_of_two_lengths() {
    let run = |(length, single)| RunWanted { length: mm(length), single };
    let wanted = [(2245, true), (1494, true), (837, false), (407, false), (407, true), (384, false)].map(run);
    let joining = Joining { lap: mm(45), shortest: mm(100), extra_laps: 3, kerf: mm(0) };
    assert_eq!(joined(&wanted, &[(3000, None)], &joining).bars.len(), 2);
}

#[test]
fn a_rest_too_short_to_be_a_piece_is_made_longer() {
    // 3100 + 50 is 2850 and 300, never 3000 and 150.
    let plan = joined(&runs(&[3100]), &[(3000, None)], &USUAL);
    let pieces: Vec<i64> = plan.runs[0].iter().map(|p| p.length.as_mm()).collect();
    assert_eq!(pieces.iter().min(), Some(&300));
    assert_eq!((plan.bars.len(), longest_offcut(&plan)), (2, mm(2700)));
}

#[test]
fn a_short_rest_goes_between_two_others_without_loss() {
    // Rests 100, 1400 and 1500 fill one shared length, though no piece may be 100.
    let plan = joined(&runs(&[3050, 1400, 1500]), &[(3000, None)], &USUAL);
    assert_eq!(plan.bars.len(), 2);
    assert!(plan.proof.is_proven());
}

#[test]
fn an_extra_lap_is_made_only_where_it_saves_a_length() {
    let three = runs(&[1900, 1900, 1900]);
    assert_eq!(joined(&three, &[(3000, None)], &USUAL).bars.len(), 3);
    let allowed = Joining { extra_laps: 1, ..USUAL };
    let plan = joined(&three, &[(3000, None)], &allowed);
    assert_eq!((plan.bars.len(), plan.laps()), (2, 1));
    let plan = joined(&runs(&[1900, 1900]), &[(3000, None)], &allowed);
    assert_eq!((plan.bars.len(), plan.laps()), (2, 0));
}

#[test]
fn a_run_that_may_not_be_joined_stays_whole() {
    let allowed = Joining { extra_laps: 2, ..USUAL };
    let wanted: Vec<RunWanted> = [1900, 1900, 1900].map(|l| RunWanted { length: mm(l), single: true }).into();
    assert_eq!(joined(&wanted, &[(3000, None)], &allowed).bars.len(), 3);
}

#[test]
fn with_several_prices_the_cheapest_lengths_are_bought() {
    // 2900 from a long length leaves nothing; 2 m ones are cheaper than a 3 m one, and dearer by the metre.
    let stock = [(2000, Some(900)), (3000, Some(1200))];
    let plan = joined(&runs(&[1900, 2900]), &stock, &USUAL);
    assert_eq!((plan.proof.found, plan.in_pence), (2100, true));
    assert!(plan.proof.is_proven());
}

#[test]
fn a_short_length_may_take_the_place_of_a_full_one_in_the_middle_of_a_run() {
    // 4500 takes two pieces either way; 2500 and 2100 do, so two short lengths are enough.
    let stock = [(2500, Some(1000)), (3000, Some(1500))];
    assert_eq!(joined(&runs(&[4500]), &stock, &USUAL).proof.found, 2000);
}

/// Small random jobs against every way of cutting them, in lengths of a few units.
#[test]
fn small_jobs_of_runs_agree_with_brute_force() {
    let mut dice = Dice(42_424_242);
    let (mut proofs, mut offcuts) = (0, 0);
    const JOBS: usize = 500;
    for _ in 0..JOBS {
        let job = small_job(&mut dice);
        let plan = joined(&job.wanted, &job.stock, &job.joining);
        let best = by_hand(&job);
        let bought: i64 = plan.bars.iter().map(|b| b.stock.as_mm()).sum();
        assert!(plan.proof.bound <= best.0, "the bound {:?} is no bound, {best:?} for {job:?}", plan.proof);
        assert_eq!((plan.proof.found, plan.laps() as i64), (best.0, best.1), "{job:?}\n{plan:?}");
        if job.stock.len() == 1 {
            assert_eq!((bought, -longest_offcut(&plan).as_mm()), (best.2, best.3), "{job:?}\n{plan:?}");
        }
        proofs += usize::from(plan.proof.is_proven());
        offcuts += usize::from(plan.offcut_proven);
    }
    assert!(proofs >= JOBS - 1 && offcuts == JOBS, "{proofs} proofs, {offcuts} of offcuts");
}

#[derive(Debug)]
struct SmallJob {
    wanted: Vec<RunWanted>,
    stock: Vec<(i64, Option<u64>)>,
    joining: Joining,
}

fn small_job(dice: &mut Dice) -> SmallJob {
    let extra_laps = (dice.up_to(0, 3) / 3) as u32;
    let kerf = mm(dice.up_to(0, 3) / 3);
    let joining = Joining { lap: mm(1), shortest: mm(dice.up_to(2, 3)), extra_laps, kerf };
    let stock = match dice.up_to(0, 3) {
        0 => vec![(8, Some(17)), (11, Some(21))],
        _ => vec![(dice.up_to(7, 12), None)],
    };
    let longest = stock.last().unwrap().0;
    let many = dice.up_to(1, if extra_laps > 0 { 3 } else { 4 });
    let wanted = (0..many).map(|_| {
        let single = dice.up_to(0, 5) == 0;
        RunWanted { length: mm(dice.up_to(1, if single { longest } else { 2 * longest })), single }
    });
    SmallJob { wanted: wanted.collect(), stock, joining }
}

/// What the best plan comes to: cost, laps, metres bought, and the longest offcut taken negative.
type Best = (i64, i64, i64, i64);

/// Every set of pieces for every run, and every way of sharing them out.
fn by_hand(job: &SmallJob) -> Best {
    let mut best = (i64::MAX, 0, 0, 0);
    choose(job, 0, &mut Vec::new(), 0, &mut best);
    best
}

fn choose(job: &SmallJob, run: usize, pieces: &mut Vec<i64>, laps: i64, best: &mut Best) {
    if run == job.wanted.len() {
        let mut sorted = pieces.clone();
        sorted.sort_unstable_by(|a, b| b.cmp(a));
        return share_out(job, &sorted, &mut Vec::new(), laps, best);
    }
    let (length, longest, lap) = (job.wanted[run].length.as_mm(), job.stock.last().unwrap().0, job.joining.lap.as_mm());
    let least = fewest(length, longest, lap);
    let most = if job.wanted[run].single { least } else { least + i64::from(job.joining.extra_laps) };
    for k in least..=most {
        let shortest = if k == 1 { 1 } else { job.joining.shortest.as_mm() };
        compositions(length + (k - 1) * lap, k, shortest, longest, &mut Vec::new(), &mut |c| {
            let before = pieces.len();
            pieces.extend(c);
            choose(job, run + 1, pieces, laps + k - 1, best);
            pieces.truncate(before);
        });
    }
}

fn compositions(total: i64, k: i64, low: i64, high: i64, so_far: &mut Vec<i64>, found: &mut dyn FnMut(&[i64])) {
    if k == 0 {
        if total == 0 {
            found(so_far);
        }
        return;
    }
    for piece in low..=high.min(total) {
        so_far.push(piece);
        compositions(total - piece, k - 1, low, piece, so_far, found);
        so_far.pop();
    }
}

fn share_out(job: &SmallJob, rest: &[i64], bars: &mut Vec<i64>, laps: i64, best: &mut Best) {
    let (kerf, longest) = (job.joining.kerf.as_mm(), job.stock.last().unwrap().0);
    let cheapest = |load: i64| job.stock.iter().filter(|s| s.0 >= load).min_by_key(|s| s.1.unwrap_or(1)).unwrap();
    let cost: i64 = bars.iter().map(|&b| cheapest(b).1.unwrap_or(1) as i64).sum();
    if (cost, laps) > (best.0, best.1) {
        return;
    }
    let Some((piece, rest)) = rest.split_first() else {
        let bought = bars.iter().map(|&b| cheapest(b).0).sum();
        let left = bars.iter().map(|&b| (cheapest(b).0 - b - kerf).max(0)).max().unwrap();
        *best = (*best).min((cost, laps, bought, -left));
        return;
    };
    for b in 0..bars.len() {
        if bars[b] + kerf + piece <= longest {
            bars[b] += kerf + piece;
            share_out(job, rest, bars, laps, best);
            bars[b] -= kerf + piece;
        }
    }
    bars.push(*piece);
    share_out(job, rest, bars, laps, best);
    bars.pop();
}

#[test]
fn runs_that_cannot_be_cut_are_named() {
    let cut = |wanted: &[RunWanted], stock: &[(i64, Option<u64>)]| {
        cut_runs(wanted, &sold(stock), &USUAL, EFFORT).unwrap_err().remove(0)
    };
    let single = RunWanted { length: mm(3001), single: true };
    assert_eq!(cut(&[single], &[(3000, None)]), RunPlanFault::SingleTooLong(0));
    assert_eq!(cut(&runs(&[1000, 0]), &[(3000, None)]), RunPlanFault::NoLength(1));
    assert_eq!(cut(&runs(&[1000]), &[]), RunPlanFault::NoStock);
    assert_eq!(cut(&runs(&[1000]), &[(50, None)]), RunPlanFault::NoStock);
    assert_eq!(cut(&runs(&[200, 1000]), &[(250, None)]), RunPlanFault::NoPieces(1));
    let all = cut_runs(&runs(&[1000, 0, 2000]), &sold(&[(250, None)]), &USUAL, EFFORT).unwrap_err();
    assert_eq!(all.len(), 3, "every fault at once: {all:?}");
}

// ---- A general-purpose solver's answers --------------------------------------------------------------------------

/// Jobs and answers made by `tests/outside/cutting.py` with HiGHS 1.16 and the CP-SAT solver of OR-Tools 9.15.
const OUTSIDE: &str = include_str!("outside/cutting.txt");

/// One line: `kind key=value …`.
struct OutsideJob<'a> {
    kind: &'a str,
    values: Vec<(&'a str, &'a str)>,
}

impl<'a> OutsideJob<'a> {
    fn all(text: &'a str) -> Vec<OutsideJob<'a>> {
        let job = |line: &'a str| {
            let mut words = line.split(' ');
            let kind = words.next().unwrap();
            OutsideJob { kind, values: words.map(|w| w.split_once('=').unwrap()).collect() }
        };
        text.lines().map(job).collect()
    }

    fn text(&self, key: &str) -> &'a str {
        self.values.iter().find(|v| v.0 == key).unwrap().1
    }

    fn number(&self, key: &str) -> i64 {
        self.text(key).parse().unwrap()
    }

    fn pairs(&self, key: &str, mark: char) -> Vec<(i64, u32)> {
        let pair = |p: &str| p.split_once(mark).map(|(a, b)| (a.parse().unwrap(), b.parse().unwrap())).unwrap();
        self.text(key).split(',').map(pair).collect()
    }
}

/// Never worse than what was found outside, never below what was proven there, and proven here wherever it was there.
fn compare(job: &OutsideJob, found: i64, bound: i64) {
    let (best, least) = (job.number("best"), job.number("bound"));
    let line = format!("{} {:?}: found {found}, bound {bound}", job.kind, job.values);
    assert!(found <= best, "worse than outside: {line}");
    assert!(found >= least, "below what is proven outside: {line}");
    assert!(bound <= best, "the bound is above a plan: {line}");
}

#[test]
fn pieces_are_never_cut_worse_than_by_a_general_purpose_solver() {
    let (mut jobs, mut proofs) = (0, 0);
    for job in OutsideJob::all(OUTSIDE).iter().filter(|j| j.kind != "runs") {
        let plan = solved(&job.pairs("pieces", 'x'), &job.pairs("stock", ':'), job.number("kerf"));
        compare(job, plan.proof.found, plan.proof.bound);
        jobs += 1;
        proofs += usize::from(plan.proof.is_proven());
    }
    assert_eq!((jobs, proofs), (100, 100));
}

#[test]
fn runs_are_never_cut_worse_than_by_a_general_purpose_solver() {
    let (mut jobs, mut proofs) = (0, 0);
    for job in OutsideJob::all(OUTSIDE).iter().filter(|j| j.kind == "runs") {
        let proof = cut_as_outside(job).proof;
        compare(job, proof.found, proof.bound);
        proofs += usize::from(proof.is_proven());
        jobs += 1;
    }
    assert_eq!(jobs, 100);
    assert!(proofs == jobs, "{proofs} of {jobs} proven");
}

/// Cuts a recorded job and compares; no plan is called proven where the outside solver found a better one.
fn cut_as_outside(job: &OutsideJob) -> RunPlan {
    let run = |&(length, single): &(i64, u32)| RunWanted { length: mm(length), single: single == 1 };
    let wanted: Vec<RunWanted> = job.pairs("runs", ':').iter().map(run).collect();
    let stock = job.pairs("stock", ':');
    let priced = |&(length, cost): &(i64, u32)| (length, (stock.len() > 1).then_some(u64::from(cost)));
    let joining = Joining {
        lap: mm(job.number("lap")),
        shortest: mm(job.number("shortest")),
        extra_laps: job.number("extra") as u32,
        kerf: mm(job.number("kerf")),
    };
    let plan = joined(&wanted, &stock.iter().map(priced).collect::<Vec<_>>(), &joining);
    if job.number("laps") >= 0 && plan.proof.found == job.number("best") {
        assert!(plan.laps() as i64 <= job.number("laps"), "more laps than outside: {:?}", job.values);
    }
    plan
}

/// Jobs with laps that are not needed and with several lengths, and answers, made by `tests/outside/laps.py` with the
/// CP-SAT solver of OR-Tools 9.15.
const LAPS: &str = include_str!("outside/laps.txt");

#[test]
fn no_plan_is_called_proven_where_a_general_purpose_solver_found_a_better_one() {
    let (mut jobs, mut proofs, mut worse) = (0, 0, 0);
    for job in &OutsideJob::all(LAPS) {
        let proof = cut_as_outside(job).proof;
        let best = job.number("best");
        assert!(proof.bound <= best, "{proof:?} is false: {best} is found outside, {:?}", job.values);
        assert!(proof.found >= job.number("bound"), "{proof:?} is below what is proven outside: {:?}", job.values);
        jobs += 1;
        proofs += usize::from(proof.is_proven());
        worse += usize::from(proof.found > best);
    }
    // what is worse stands where a ring of laps or very long pieces would save a length, and is never called proven
    let enough = proofs * 100 >= jobs * 85 && worse * 100 <= jobs * 4;
    assert!(jobs == 287 && enough, "{proofs} proven and {worse} worse of {jobs}");
}

/// Forty linings of as many sizes, of which each board takes some eight: the ways to put them on boards are past counting.
#[test]
fn a_search_for_fewer_boards_ends() {
    let size = |n: i64| (mm(300 + 37 * (n * 7 % 40)), mm(200 + 11 * (n * 13 % 40)));
    let pieces: Vec<(Length, Length)> = (0..40).map(size).collect();
    let begun = CpuTime::begin();
    let sawn = saw_boards(&pieces, (mm(2440), mm(1220)));
    assert!(begun.spent() < Duration::from_secs(10), "{:?}", begun.spent());
    assert!((sawn.proof.bound..=sawn.proof.bound + 2).contains(&sawn.proof.found), "{:?}", sawn.proof);
    let areas = |board: usize| {
        let on = pieces.iter().zip(&sawn.of).filter(|(_, of)| **of == board).map(|(piece, _)| piece);
        on.map(|(length, width)| length.as_mm() * width.as_mm()).sum::<i64>()
    };
    assert!((0..sawn.boards).all(|board| (1..=2440 * 1220).contains(&areas(board))));
}
