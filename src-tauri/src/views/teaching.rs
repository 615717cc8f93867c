//! Teaching: the panel at the bench, the crew against the stages.

use super::PersonView;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

words! {
    /// Where a helper stands with a stage.
    pub enum LearningWord {
        /// No witnessed runs are asked.
        NotAsked,
        /// Nothing was presented.
        NotTaught,
        /// Some steps were presented.
        Presenting,
        /// Does it under a lead's eyes.
        TryingOut,
        /// The next run is alone.
        ToBeReleased,
        /// Does it alone.
        Alone,
        /// Alone, and not done for long.
        DueForRefresh,
    }
    /// What is to be done at a step that somebody still learns.
    pub enum LessonWord {
        /// A lead shows and tells it.
        Present,
        /// The helper tells its key point.
        TellBack,
        /// The helper does it, and a lead witnesses.
        TryOut,
        /// The helper does it alone; a lead looks at the end of the stage.
        FollowUp,
    }
}

outgoing! {
    /// A step that the helper at the bench still learns.
    pub struct TeachingView {
        /// Who learns it.
        pub learner: String,
        /// Their name.
        pub name: String,
        /// What is to be done now.
        pub lesson: LessonWord,
        /// It is the first step of their first run: the lead prepares them.
        pub prepare: bool,
        /// Where they stand with the stage, in words.
        pub standing: String,
        /// What comes next, in a sentence.
        pub next: String,
    }
    /// Helpers against stages.
    pub struct CrewTableView {
        /// The helpers who are of the crew.
        pub people: Vec<PersonView>,
        /// The stages.
        pub stages: Vec<CrewStageLine>,
    }
    /// A stage of the crew table.
    pub struct CrewStageLine {
        /// Its id.
        pub id: String,
        /// Its title.
        pub title: String,
        /// How many witnessed runs are asked.
        pub runs: u8,
        /// After how many days a refresh is due.
        pub refresh_days: Option<u32>,
        /// What is asked, in words.
        pub asked: String,
        /// Where each helper stands, in the order of the people.
        pub cells: Vec<LearningCell>,
    }
    /// Where a helper stands with a stage.
    pub struct LearningCell {
        /// Which mark it gets.
        pub standing: LearningWord,
        /// In words.
        pub words: String,
    }
}
