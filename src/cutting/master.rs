//! The linear relaxation, by column generation (Gilmore and Gomory 1961), and its bound in whole numbers.
//!
//! Given an instance and a demand; gives how often each filling would be used if fractions were allowed, and a bound.
//! It is warm-started: after the demand changes, the dual simplex method repairs the basis and the primal method goes
//! on. Floating point is used for the search only: the bound comes from whole-number prices checked by the knapsack.

use super::bound::{Totals, lagrangian_bound, priced_bound};
use super::branching::Branching;
use super::instance::{Filling, Instance};
use super::knapsack::Knapsack;
use crate::geometry::whole::gcd;

const TINY: f64 = 1e-9;
/// Prices are held as whole numbers of this fraction of the dearest bin.
const PRICE_SCALE: f64 = (1u64 << 30) as f64;
/// The inverse is worked out afresh after so many pivots.
const REFRESH: u32 = 80;
/// How many fillings join the columns in one round of prices, beside the best.
const MOST_APART: usize = 12;
/// How many rounds go straight to the table after branching has taken too long.
const TABLE_ROUNDS: u32 = 20;

/// A filling with its kind of bin.
pub(crate) struct FillingColumn {
    pub bin: usize,
    pub filling: Filling,
    /// What it costs under the demand at hand: a filling that holds more than is wanted is priced out.
    cost: f64,
    basic: bool,
}

/// What holds a row of the basis.
#[derive(Clone, Copy, PartialEq)]
enum Basic {
    Surplus(usize),
    Column(usize),
}

/// A relaxation solved.
pub(crate) struct Relaxed {
    /// No packing of the demand costs less.
    pub bound: i64,
    /// Whole-number prices that prove it.
    pub prices: Vec<i64>,
    /// What each item is worth at those prices beyond what it costs of its own.
    pub values: Vec<i64>,
    /// Cost and best value of each kind of bin at those prices.
    pub best: Vec<(i64, i64)>,
    /// Prices to one unit of cost, where items cost something of their own.
    pub scale: i64,
}

impl Relaxed {
    /// What the demand is worth at the prices.
    pub(super) fn worth(&self, demand: &[u32]) -> i128 {
        self.prices.iter().zip(demand).map(|(&p, &d)| i128::from(p) * i128::from(d)).sum()
    }

    /// How much more a bin may be worth than it costs, in prices.
    pub(super) fn over(&self) -> i64 {
        self.best.iter().map(|b| b.1.saturating_sub(b.0 * self.scale)).max().unwrap_or(0).max(0)
    }
}

/// The relaxation with everything that carries over from one demand to the next.
pub(crate) struct Master<'a> {
    instance: &'a Instance<'a>,
    unit: i64,
    scale: f64,
    columns: Vec<FillingColumn>,
    basis: Vec<Basic>,
    surplus_basic: Vec<bool>,
    inverse: Vec<f64>,
    values: Vec<f64>,
    demand: Vec<u32>,
    pivots: u32,
    /// So many more rounds of prices go straight to the table, because branching took too long.
    table_rounds: u32,
    /// Work left.
    pub effort: u64,
}

impl<'a> Master<'a> {
    /// Starts from one filling for each item, of that item alone.
    pub(super) fn new(instance: &'a Instance<'a>, effort: u64) -> Master<'a> {
        let rows = instance.weights.len();
        let dearest = instance.bins.iter().map(|b| b.cost).max().unwrap_or(1) + instance.own.iter().max().unwrap_or(&0);
        let scale = PRICE_SCALE / dearest as f64;
        let mut master = Master {
            instance,
            unit: instance.weights.iter().fold(0, |d, &w| gcd(d, w)).max(1),
            scale: if instance.has_own_costs() { scale.floor().max(1.0) } else { scale },
            columns: Vec::new(),
            basis: Vec::new(),
            surplus_basic: vec![false; rows],
            inverse: vec![0.0; rows * rows],
            values: Vec::new(),
            demand: instance.demand.clone(),
            pivots: 0,
            table_rounds: 0,
            effort,
        };
        for item in 0..rows {
            master.add_column(cheapest_alone(instance, item), vec![(item, 1)]);
        }
        master.restart();
        master
    }

    /// The columns used, each with how often, most used first.
    pub(super) fn used(&self) -> Vec<(usize, f64)> {
        let mut used: Vec<(usize, f64)> = (self.basis.iter().zip(&self.values))
            .filter_map(|(b, &v)| if let Basic::Column(c) = b { Some((*c, v)) } else { None })
            .filter(|&(c, v)| v > 1e-6 && self.is_proper(c))
            .collect();
        used.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        used
    }

    /// A column by its index.
    pub(super) fn column(&self, index: usize) -> &FillingColumn {
        &self.columns[index]
    }

    /// Offers a filling that some good packing used.
    pub(super) fn offer(&mut self, bin: usize, filling: &Filling) {
        self.add_column(bin, filling.clone());
    }

    /// Solves for a demand. Stops early once the bound, rounded up to an attainable total, cannot rise any more.
    pub(super) fn relax(&mut self, demand: &[u32], totals: &Totals) -> Relaxed {
        self.set_demand(demand);
        self.repair();
        let none = vec![0; demand.len()];
        let mut best = Relaxed { bound: 0, prices: none.clone(), values: none, best: Vec::new(), scale: 1 };
        loop {
            let duals = self.primal();
            let (found, added) = self.price(&duals, totals);
            if found.bound >= best.bound {
                best = found;
            }
            let ceiling = totals.round_up((self.cost_now() - 1e-6).ceil() as i64);
            if !added || best.bound >= ceiling || self.effort == 0 {
                return best;
            }
        }
    }

    fn cost_now(&self) -> f64 {
        self.basis.iter().zip(&self.values).map(|(&b, v)| self.cost_of(b) * v).sum()
    }

    fn is_proper(&self, column: usize) -> bool {
        self.columns[column].filling.iter().all(|&(i, n)| n <= self.demand[i])
    }

    fn add_column(&mut self, bin: usize, filling: Filling) -> usize {
        let cost = self.cost_under_demand(bin, &filling);
        self.columns.push(FillingColumn { bin, filling, cost, basic: false });
        self.columns.len() - 1
    }

    fn cost_under_demand(&self, bin: usize, filling: &Filling) -> f64 {
        let cost = self.instance.cost(bin, filling) as f64;
        match filling.iter().all(|&(i, n)| n <= self.demand[i]) {
            true => cost,
            false => {
                let dearest = PRICE_SCALE / self.scale;
                cost + dearest * filling.iter().map(|f| f64::from(f.1)).sum::<f64>()
            }
        }
    }

    fn cost_of(&self, basic: Basic) -> f64 {
        match basic {
            Basic::Surplus(_) => 0.0,
            Basic::Column(c) => self.columns[c].cost,
        }
    }

    fn set_demand(&mut self, demand: &[u32]) {
        self.demand.copy_from_slice(demand);
        self.compute_values();
    }

    fn compute_values(&mut self) {
        let rows = self.demand.len();
        self.values = (0..rows)
            .map(|r| {
                let row = &self.inverse[r * rows..(r + 1) * rows];
                row.iter().zip(&self.demand).map(|(x, &d)| x * f64::from(d)).sum()
            })
            .collect();
        self.spend((rows * rows) as u64);
    }

    /// Back to the basis of single items.
    fn restart(&mut self) {
        let rows = self.demand.len();
        for column in &mut self.columns {
            column.basic = false;
        }
        self.basis = (0..rows).map(Basic::Column).collect();
        self.surplus_basic.fill(false);
        self.inverse.fill(0.0);
        for r in 0..rows {
            self.columns[r].basic = true;
            self.inverse[r * rows + r] = 1.0;
        }
        self.pivots = 0;
        self.compute_values();
    }

    /// Makes all values non-negative again by the dual simplex method, then prices out what holds too much.
    fn repair(&mut self) {
        let most = 4 * self.demand.len() + 50;
        for _ in 0..most {
            let lowest = (0..self.values.len()).min_by(|&a, &b| self.values[a].total_cmp(&self.values[b]));
            let Some(row) = lowest.filter(|&r| self.values[r] < -1e-7) else { break };
            match self.dual_entering(row) {
                Some(entering) => self.pivot(row, entering),
                None => break,
            }
        }
        if self.values.iter().any(|&v| v < -1e-7) {
            self.restart();
        }
        for c in 0..self.columns.len() {
            let cost = self.cost_under_demand(self.columns[c].bin, &self.columns[c].filling);
            self.columns[c].cost = cost;
        }
        self.spend(8 * self.columns.len() as u64);
    }

    fn dual_entering(&mut self, row: usize) -> Option<Basic> {
        let rows = self.demand.len();
        let duals = self.duals();
        let line = &self.inverse[row * rows..(row + 1) * rows];
        let mut found: Option<(f64, Basic)> = None;
        let mut consider = |alpha: f64, reduced: f64, who: Basic| {
            let ratio = reduced.max(0.0) / -alpha;
            if found.as_ref().is_none_or(|f| ratio < f.0) {
                found = Some((ratio, who));
            }
        };
        for i in 0..rows {
            if line[i] > TINY && !self.surplus_basic[i] {
                consider(-line[i], duals[i], Basic::Surplus(i));
            }
        }
        for (c, column) in self.columns.iter().enumerate().filter(|(_, c)| !c.basic) {
            let alpha = dot(line, &column.filling);
            if alpha < -TINY {
                consider(alpha, column.cost - dot(&duals, &column.filling), Basic::Column(c));
            }
        }
        let entering = found.map(|f| f.1);
        self.spend((rows * rows + self.columns.len() * 4) as u64);
        entering
    }

    /// The primal simplex method over the columns at hand; gives the dual prices.
    fn primal(&mut self) -> Vec<f64> {
        let most = 20 * self.demand.len() + 200;
        for _ in 0..most {
            let duals = self.duals();
            let Some(entering) = self.primal_entering(&duals) else { return duals };
            let direction = self.direction(entering);
            match self.leaving(&direction) {
                Some(row) => self.pivot_along(row, entering, &direction),
                None => return duals,
            }
            if self.effort == 0 {
                break;
            }
        }
        self.duals()
    }

    fn primal_entering(&mut self, duals: &[f64]) -> Option<Basic> {
        let mut found = (-1e-7, None);
        for (c, column) in self.columns.iter().enumerate().filter(|(_, c)| !c.basic) {
            let reduced = column.cost - dot(duals, &column.filling);
            if reduced < found.0 {
                found = (reduced, Some(Basic::Column(c)));
            }
        }
        for (i, &price) in duals.iter().enumerate() {
            if price < found.0 && !self.surplus_basic[i] {
                found = (price, Some(Basic::Surplus(i)));
            }
        }
        self.spend(4 * self.columns.len() as u64);
        found.1
    }

    fn leaving(&self, direction: &[f64]) -> Option<usize> {
        let mut found: Option<(f64, f64, usize)> = None;
        for (row, &d) in direction.iter().enumerate().filter(|(_, d)| **d > 1e-8) {
            let ratio = self.values[row].max(0.0) / d;
            let better = |f: &(f64, f64, usize)| ratio < f.0 - 1e-10 || (ratio < f.0 + 1e-10 && d > f.1);
            if found.as_ref().is_none_or(better) {
                found = Some((ratio, d, row));
            }
        }
        found.map(|f| f.2)
    }

    fn duals(&mut self) -> Vec<f64> {
        let rows = self.demand.len();
        let mut duals = vec![0.0; rows];
        for r in 0..rows {
            let cost = self.cost_of(self.basis[r]);
            if cost != 0.0 {
                let row = &self.inverse[r * rows..(r + 1) * rows];
                duals.iter_mut().zip(row).for_each(|(d, x)| *d += cost * x);
            }
        }
        self.spend((rows * rows) as u64);
        duals
    }

    fn direction(&mut self, entering: Basic) -> Vec<f64> {
        let rows = self.demand.len();
        self.spend(4 * rows as u64);
        (0..rows)
            .map(|r| {
                let row = &self.inverse[r * rows..(r + 1) * rows];
                match entering {
                    Basic::Surplus(i) => -row[i],
                    Basic::Column(c) => dot(row, &self.columns[c].filling),
                }
            })
            .collect()
    }

    fn pivot(&mut self, row: usize, entering: Basic) {
        let direction = self.direction(entering);
        self.pivot_along(row, entering, &direction);
    }

    fn pivot_along(&mut self, row: usize, entering: Basic, direction: &[f64]) {
        let rows = self.demand.len();
        let by = direction[row];
        let pivot_row: Vec<f64> = self.inverse[row * rows..(row + 1) * rows].iter().map(|x| x / by).collect();
        let step = self.values[row] / by;
        for (r, &d) in direction.iter().enumerate().filter(|&(r, d)| r != row && d.abs() > 1e-12) {
            let target = &mut self.inverse[r * rows..(r + 1) * rows];
            target.iter_mut().zip(&pivot_row).for_each(|(t, p)| *t -= d * p);
            self.values[r] -= d * step;
        }
        self.inverse[row * rows..(row + 1) * rows].copy_from_slice(&pivot_row);
        self.values[row] = step;
        self.set_basic(self.basis[row], false);
        self.basis[row] = entering;
        self.set_basic(entering, true);
        self.spend((rows * rows) as u64);
        self.pivots += 1;
        if self.pivots >= REFRESH {
            self.refresh();
        }
    }

    fn set_basic(&mut self, who: Basic, basic: bool) {
        match who {
            Basic::Column(c) => self.columns[c].basic = basic,
            Basic::Surplus(i) => self.surplus_basic[i] = basic,
        }
    }

    /// The inverse worked out afresh from the basis (Gauss and Jordan, with row pivoting).
    fn refresh(&mut self) {
        let rows = self.demand.len();
        self.pivots = 0;
        match inverted(&self.basis_matrix(), rows) {
            Some(inverse) => {
                self.inverse = inverse;
                self.compute_values();
            }
            None => self.restart(),
        }
        self.spend((rows * rows * rows) as u64);
    }

    fn basis_matrix(&self) -> Vec<f64> {
        let rows = self.demand.len();
        let mut matrix = vec![0.0; rows * rows];
        for (c, basic) in self.basis.iter().enumerate() {
            match basic {
                Basic::Surplus(i) => matrix[i * rows + c] = -1.0,
                Basic::Column(j) => {
                    for &(i, n) in &self.columns[*j].filling {
                        matrix[i * rows + c] = f64::from(n);
                    }
                }
            }
        }
        matrix
    }

    /// Prices every kind of bin: a bound in whole numbers, and whether a cheaper filling joined the columns.
    fn price(&mut self, duals: &[f64], totals: &Totals) -> (Relaxed, bool) {
        let prices: Vec<i64> = duals.iter().map(|d| (d.max(0.0) * self.scale).floor() as i64).collect();
        let scale = self.scale as i64;
        let values: Vec<i64> = prices.iter().zip(&self.instance.own).map(|(p, own)| p - own * scale).collect();
        let fillings = self.best_fillings(&values);
        let cost = |bin: usize| self.instance.bins[bin].cost;
        let best = fillings.iter().enumerate().map(|(bin, f)| (cost(bin), f.0)).collect();
        let mut relaxed = Relaxed { bound: 0, prices, values, best, scale };
        relaxed.bound = totals.round_up(self.bound_of(&relaxed));
        let mut added = false;
        for (bin, (_, filling)) in fillings.into_iter().enumerate() {
            if self.add_if_cheaper(bin, &filling, duals) {
                added = true;
                self.add_apart(bin, filling, duals, &relaxed.values);
            }
        }
        (relaxed, added)
    }

    fn bound_of(&self, relaxed: &Relaxed) -> i64 {
        let worth = relaxed.worth(&self.demand);
        if !self.instance.has_own_costs() {
            return priced_bound(worth, &relaxed.best);
        }
        let bins = self.demand.iter().map(|&d| u64::from(d)).sum();
        lagrangian_bound(worth, relaxed.over(), bins, relaxed.scale)
    }

    /// The best filling of each kind of bin, exactly: by branch and bound, or by the table where that takes too long.
    fn best_fillings(&mut self, values: &[i64]) -> Vec<(i64, Filling)> {
        let instance = self.instance;
        let mut all = None;
        if self.table_rounds == 0 {
            let table = (instance.widest() / self.unit) as u64 * instance.weights.len() as u64;
            let mut branching = Branching::new(instance, values, &self.demand, table / 4 + 100);
            all = instance.bins.iter().map(|b| branching.best(b)).collect::<Option<Vec<_>>>();
            self.spend(branching.work * 4);
            self.table_rounds = if all.is_none() { TABLE_ROUNDS } else { 0 };
        } else {
            self.table_rounds -= 1;
        }
        all.unwrap_or_else(|| {
            let sack = Knapsack::new(instance, values, &self.demand, self.unit);
            self.spend(sack.work);
            instance.bins.iter().map(|b| (sack.value(b), sack.filling(b))).collect()
        })
    }

    fn add_if_cheaper(&mut self, bin: usize, filling: &Filling, duals: &[f64]) -> bool {
        let cheaper = self.instance.cost(bin, filling) as f64 - dot(duals, filling) < -1e-7;
        let new = cheaper && !filling.is_empty() && !self.knows(bin, filling);
        self.spend(2 * self.columns.len() as u64);
        if new {
            self.add_column(bin, filling.clone());
        }
        new
    }

    /// More fillings of the same kind of bin that share no item with those before them: so that one round of prices
    /// serves the whole demand.
    fn add_apart(&mut self, bin: usize, mut filling: Filling, duals: &[f64], values: &[i64]) {
        let instance = self.instance;
        let mut branching = Branching::new(instance, values, &self.demand, 500);
        for _ in 0..MOST_APART {
            branching.without(&filling);
            let Some((_, next)) = branching.best(&instance.bins[bin]) else { break };
            if !self.add_if_cheaper(bin, &next, duals) {
                break;
            }
            filling = next;
        }
        self.spend(branching.work * 4);
    }

    fn knows(&self, bin: usize, filling: &Filling) -> bool {
        self.columns.iter().any(|c| c.bin == bin && c.filling == *filling)
    }

    fn spend(&mut self, work: u64) {
        self.effort = self.effort.saturating_sub(work);
    }
}

fn cheapest_alone(instance: &Instance, item: usize) -> usize {
    let fits = |b: &usize| {
        instance.bins[*b].capacity >= instance.weights[item] && instance.bins[*b].needs <= instance.gives[item]
    };
    (0..instance.bins.len()).filter(fits).min_by_key(|&b| (instance.bins[b].cost, b)).unwrap_or(0)
}

fn dot(dense: &[f64], filling: &Filling) -> f64 {
    filling.iter().map(|&(i, n)| dense[i] * f64::from(n)).sum()
}

/// The inverse of a square matrix, row by row; `None` when it has none.
fn inverted(matrix: &[f64], n: usize) -> Option<Vec<f64>> {
    let (mut a, mut inverse) = (matrix.to_vec(), vec![0.0; n * n]);
    (0..n).for_each(|i| inverse[i * n + i] = 1.0);
    for c in 0..n {
        let pivot = (c..n).max_by(|&x, &y| a[x * n + c].abs().total_cmp(&a[y * n + c].abs()))?;
        if a[pivot * n + c].abs() < 1e-11 {
            return None;
        }
        swap_rows(&mut a, n, c, pivot);
        swap_rows(&mut inverse, n, c, pivot);
        let by = a[c * n + c];
        scale_row(&mut a[c * n..(c + 1) * n], by);
        scale_row(&mut inverse[c * n..(c + 1) * n], by);
        for r in (0..n).filter(|&r| r != c) {
            let factor = a[r * n + c];
            if factor != 0.0 {
                subtract_row(&mut a, n, r, c, factor);
                subtract_row(&mut inverse, n, r, c, factor);
            }
        }
    }
    Some(inverse)
}

fn swap_rows(a: &mut [f64], n: usize, x: usize, y: usize) {
    if x != y {
        (0..n).for_each(|k| a.swap(x * n + k, y * n + k));
    }
}

fn scale_row(row: &mut [f64], by: f64) {
    row.iter_mut().for_each(|x| *x /= by);
}

fn subtract_row(a: &mut [f64], n: usize, from: usize, what: usize, factor: f64) {
    for k in 0..n {
        a[from * n + k] -= factor * a[what * n + k];
    }
}
