//! x
pub struct Joining;pub struct RunCut; pub struct RunPlan; pub struct RunPlanFault; pub struct RunWanted; pub struct SoldLength; pub fn cut_runs(){}
