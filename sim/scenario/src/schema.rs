//! A JSON Schema of the files, for editors. The notation of the files is richer than JSON: choices with
//! fields are written `Leak(bore: "3 mm")`, which the schema describes as `{"Leak": {"bore": "3 mm"}}`.

use super::file::{
    CrewFile, FaultsFile, JobFile, PlanFile, PresentFile, SiteFile, SpreadFile, StockFile,
    StudyFile, SupplierFile, WorkFile,
};
use deepstay_crew::harm::HarmFile;
use deepstay_crew::voices::VoicesFile;
use deepstay_rules::RuleSet;

/// The files that there is a schema of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SchemaOf {
    /// A job.
    Job,
    /// A spread.
    Spread,
    /// A rule set.
    Rules,
    /// A site.
    Site,
    /// A crew.
    Crew,
    /// A stock of gas.
    Stock,
    /// A plan.
    Plan,
    /// A work list.
    Work,
    /// A set of faults.
    Faults,
    /// What a study of the stock varies.
    Study,
    /// A supplier's list.
    Supplier,
    /// The figures by which people come to harm.
    Harm,
    /// What is said over the speaker.
    Voices,
    /// A present.
    Present,
}

impl SchemaOf {
    /// All of them.
    pub const ALL: [SchemaOf; 14] = [
        SchemaOf::Job,
        SchemaOf::Spread,
        SchemaOf::Rules,
        SchemaOf::Site,
        SchemaOf::Crew,
        SchemaOf::Stock,
        SchemaOf::Plan,
        SchemaOf::Work,
        SchemaOf::Faults,
        SchemaOf::Study,
        SchemaOf::Supplier,
        SchemaOf::Harm,
        SchemaOf::Voices,
        SchemaOf::Present,
    ];

    /// What a kind of file is called, and what it is.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            SchemaOf::Job => ("job", "A job"),
            SchemaOf::Spread => ("spread", "A spread"),
            SchemaOf::Rules => ("rules", "A rule set"),
            SchemaOf::Site => ("site", "A site"),
            SchemaOf::Crew => ("crew", "A crew"),
            SchemaOf::Stock => ("stock", "A stock of gas"),
            SchemaOf::Plan => ("plan", "A plan"),
            SchemaOf::Work => ("work", "A work list"),
            SchemaOf::Faults => ("faults", "A set of faults"),
            SchemaOf::Study => ("study", "What a study of the stock varies"),
            SchemaOf::Supplier => ("supplier", "A supplier's list"),
            SchemaOf::Harm => ("harm", "The figures by which people come to harm"),
            SchemaOf::Voices => ("voices", "What is said over the speaker"),
            SchemaOf::Present => ("present", "A present: how a job stands at one moment"),
        }
    }

    /// The kind of a name.
    pub fn named(name: &str) -> Option<SchemaOf> {
        SchemaOf::ALL.into_iter().find(|of| of.words().0 == name)
    }
}

/// The schema of a kind of file.
pub fn schema(of: SchemaOf) -> schemars::Schema {
    match of {
        SchemaOf::Job => schemars::schema_for!(JobFile),
        SchemaOf::Spread => schemars::schema_for!(SpreadFile),
        SchemaOf::Rules => schemars::schema_for!(RuleSet),
        SchemaOf::Site => schemars::schema_for!(SiteFile),
        SchemaOf::Crew => schemars::schema_for!(CrewFile),
        SchemaOf::Stock => schemars::schema_for!(StockFile),
        SchemaOf::Plan => schemars::schema_for!(PlanFile),
        SchemaOf::Work => schemars::schema_for!(WorkFile),
        SchemaOf::Faults => schemars::schema_for!(FaultsFile),
        SchemaOf::Study => schemars::schema_for!(StudyFile),
        SchemaOf::Supplier => schemars::schema_for!(SupplierFile),
        SchemaOf::Harm => schemars::schema_for!(HarmFile),
        SchemaOf::Voices => schemars::schema_for!(VoicesFile),
        SchemaOf::Present => schemars::schema_for!(PresentFile),
    }
}
