//! The lines of goods that are bought for this job alone.
//!
//! Given the job; gives a line and a need for each that the firm buys: as many as the job file says. Fascia and soffit boards take
//! pins along each length as it is sold; where no price book says how long it is, none can be counted.

use super::line::{Line, Need, Step, Unit};
use super::working::{count, formula, line, measured, rule, sum};
use crate::model::goods::Goods;
use crate::model::products::Products;
use crate::model::words::capital;
use crate::model::{Job, Length, LineId, Role, Rules};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// Lines and needs; nothing of what the customer supplies.
pub fn lines(job: &Job, rules: &Rules, products: &Products) -> (Vec<Line>, Vec<Need>) {
    let (mut lines, mut needs) = (Vec::new(), Vec::new());
    for goods in &job.goods {
        let Some(role) = goods.bought() else { continue };
        let many = count(goods.count as usize);
        let working = vec![
            measured(format!("{}, as the job file says ({})", goods.item, goods.path), many, Unit::Each),
            sum("", &[many], Unit::Each),
        ];
        let id = (LineId::GoodsCount, WorkKind::OwnGoods);
        let made = line(id, capital(&goods.item), goods.roof.as_deref(), Unit::Each, working);
        needs.extend(made.as_ref().and_then(|l| Need::of(role.clone(), &[l])));
        lines.extend(made);
        let pins = (LineId::GoodsPins, WorkKind::OwnGoods);
        let item = format!("Pins for {}", goods.name());
        let pinned = line(pins, item, goods.roof.as_deref(), Unit::Each, pins_in(goods, rules, products));
        let need = pinned.as_ref().and_then(|l| Need::of(Role::FasciaPins, &[l]));
        needs.extend(need.map(|need| need.sized(Some(rules.fascia_pin))));
        lines.extend(pinned);
    }
    (lines, needs)
}

/// How many pins a fascia or soffit board takes, all of its lengths together; nothing of other goods.
pub fn pins_of(goods: &Goods, rules: &Rules, products: &Products) -> Option<u32> {
    let each = places_in(goods, rules, products)?.1 * Decimal::from(rules.fascia_pins);
    u32::try_from((each * Decimal::from(goods.count)).trunc().mantissa()).ok()
}

/// The length in which pinned goods are sold, and at how many places it is pinned.
fn places_in(goods: &Goods, rules: &Rules, products: &Products) -> Option<(Length, Decimal)> {
    let length = goods.bought().filter(|_| goods.is_pinned()).and_then(|role| products.longest_of(role))?;
    Some((length, length.places(rules.fascia_fixing).into()))
}

fn pins_in(goods: &Goods, rules: &Rules, products: &Products) -> Vec<Step> {
    let Some((length, places)) = places_in(goods, rules, products) else { return Vec::new() };
    let (many, each) = (Decimal::from(goods.count), Decimal::from(rules.fascia_pins));
    vec![
        measured(format!("lengths of {}, each {length} as it is sold", goods.name()), many, Unit::Each),
        rule("fascia_fixing", rules.fascia_fixing),
        measured("places along each, one at either end", places, Unit::Each),
        rule("fascia_pins", rules.fascia_pins),
        rule("fascia_pin", rules.fascia_pin),
        formula(format!("{many} × {places} × {each}"), many * places * each, Unit::Each),
    ]
}
