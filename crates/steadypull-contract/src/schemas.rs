//! JSON Schema of every object the tool prints, generated from the types.
//!
//! The dialect is draft-07, which most generators of client types read. The
//! schemas describe what is printed: an optional field is there with `null`,
//! never left out.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;

use crate::answer::{
    Answer, Chance, TestsCompareAnswer, TestsFitAnswer, TestsLevels, TestsLookAnswer,
    TestsPlanAnswer, TestsReadAnswer, TestsReport,
};
use crate::operation::{
    BriefRequest, CompareRequest, EditRequest, EditTestDay, Edited, FitRequest, Health,
    KeptLineFile, KeptTestFile, LayOut, LevelsRequest, Live, LiveRequest, LookRequest, NewLineFile,
    NewPlan, NewTestDay, OpenAsRig, OrderRequest, PlanList, PlanRequest, ReadRequest,
    RenameTestDay, Replay, ReplayRequest, ReportRequest, SavePlan, SaveTestDay, StoredPlan,
    StoredTestDay, TakeUpRequest, TestDayList,
};
use crate::printed::{
    ConvergenceAnswer, DampersAnswer, Errors, ExampleList, ExampleText, LetGoAnswer,
    LoadPathAnswer, LoweringAnswer, OptionsAnswer, PullAnswer, RigAnswer, Serving, SituationAnswer,
    StandoffAnswer, SweepList, SweepSummary, TetherAnswer, Written,
};

/// Name and text of one schema.
type NamedSchema = (String, String);

/// File name and text of every schema, the whole answer's first.
pub fn schemas() -> Vec<NamedSchema> {
    vec![
        schema::<Answer>("answer"),
        schema::<SituationAnswer>("situation"),
        schema::<OptionsAnswer>("options"),
        schema::<LoadPathAnswer>("load-path"),
        schema::<RigAnswer>("rig"),
        schema::<PullAnswer>("pull"),
        schema::<LetGoAnswer>("let-go"),
        schema::<ConvergenceAnswer>("let-go-converge"),
        schema::<StandoffAnswer>("standoff"),
        schema::<LoweringAnswer>("lowering"),
        schema::<Chance>("chance"),
        schema::<DampersAnswer>("dampers"),
        schema::<TetherAnswer>("tether"),
        schema::<TestsLookAnswer>("tests-look"),
        schema::<TestsReadAnswer>("tests-read"),
        schema::<TestsLevels>("tests-levels"),
        schema::<TestsFitAnswer>("tests-fit"),
        schema::<TestsCompareAnswer>("tests-compare"),
        schema::<TestsPlanAnswer>("tests-plan"),
        schema::<TestsReport>("tests-report"),
        schema::<Written>("written"),
        schema::<ExampleList>("example-list"),
        schema::<ExampleText>("example"),
        schema::<Errors>("errors"),
        schema::<SweepSummary>("sweep"),
        schema::<SweepList>("sweep-list"),
        schema::<Serving>("serving"),
        schema::<EditRequest>("edit-request"),
        schema::<Edited>("edited"),
        schema::<OpenAsRig>("open-as-rig-request"),
        schema::<LayOut>("lay-out-request"),
        schema::<LiveRequest>("live-request"),
        schema::<Live>("live"),
        schema::<ReplayRequest>("replay-request"),
        schema::<Replay>("replay"),
        schema::<PlanRequest>("plan-request"),
        schema::<NewPlan>("new-plan"),
        schema::<NewLineFile>("new-line-file"),
        schema::<KeptLineFile>("kept-line-file"),
        schema::<SavePlan>("save-plan"),
        schema::<StoredPlan>("stored-plan"),
        schema::<PlanList>("plan-list"),
        schema::<BriefRequest>("brief-request"),
        schema::<TestDayList>("test-day-list"),
        schema::<NewTestDay>("new-test-day"),
        schema::<StoredTestDay>("stored-test-day"),
        schema::<SaveTestDay>("save-test-day"),
        schema::<EditTestDay>("edit-test-day"),
        schema::<RenameTestDay>("rename-test-day"),
        schema::<KeptTestFile>("test-day-file"),
        schema::<LookRequest>("look-request"),
        schema::<TakeUpRequest>("take-up-request"),
        schema::<ReadRequest>("read-request"),
        schema::<LevelsRequest>("levels-request"),
        schema::<FitRequest>("fit-request"),
        schema::<CompareRequest>("compare-request"),
        schema::<OrderRequest>("order-request"),
        schema::<ReportRequest>("report-request"),
        schema::<Health>("health"),
    ]
}

fn schema<T: JsonSchema>(name: &str) -> NamedSchema {
    let schema = SchemaSettings::draft07()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<T>();
    // The alternate form is the pretty one; a JSON value always prints.
    let text = format!("{:#}\n", schema.as_value());
    (format!("{name}.schema.json"), text)
}
