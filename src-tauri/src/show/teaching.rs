//! Teaching: the panel at the bench, the crew against the stages.

use crate::crew_table::{asked_words, helpers, learning_words};
use crate::views::{
    CrewStageLine, CrewTableView, LearningCell, LearningWord, LessonWord, PersonView, TeachingView,
};
use crate::workshop::Workshop;
use coldbench_shop::checklist::Step;
use coldbench_shop::{
    LeadSees, Learning, PersonId, StageRun, State, StepPlace, StepRun, lead_sees,
};

/// Helpers against stages.
pub fn crew_table(workshop: &Workshop) -> CrewTableView {
    let (state, now) = (workshop.state(), workshop.now());
    let helpers = helpers(state);
    let stages = workshop.library().stages().iter().map(|stage| {
        let id = &stage.list.id;
        let asked = state.teaching.get(id);
        let cell = |person: &&PersonId| {
            let learning = state.learning(person, id, now);
            LearningCell { standing: word(learning), words: learning_words(learning, now) }
        };
        CrewStageLine {
            id: id.to_string(),
            title: stage.list.title.clone(),
            runs: state.runs_asked(id),
            refresh_days: asked.and_then(|asked| asked.refresh_days),
            asked: asked_words(asked),
            cells: helpers.iter().map(cell).collect(),
        }
    });
    CrewTableView {
        stages: stages.collect(),
        people: helpers.iter().filter_map(|id| person(state, id)).collect(),
    }
}

fn person(state: &State, id: &PersonId) -> Option<PersonView> {
    let found = state.crew.get(id)?;
    Some(PersonView {
        id: id.to_string(),
        name: found.name.clone(),
        role: found.role.into(),
        present: found.present,
    })
}

fn word(learning: Learning) -> LearningWord {
    match learning {
        Learning::Lead | Learning::NotAsked => LearningWord::NotAsked,
        Learning::NotTaught => LearningWord::NotTaught,
        Learning::Presenting { .. } => LearningWord::Presenting,
        Learning::TryingOut { .. } => LearningWord::TryingOut,
        Learning::ToBeReleased => LearningWord::ToBeReleased,
        Learning::Alone { .. } => LearningWord::Alone,
        Learning::DueForRefresh { .. } => LearningWord::DueForRefresh,
    }
}

/// What is taught at a step that comes next, where the helper at the bench still learns its stage.
pub fn teaching(
    workshop: &Workshop,
    place: &StepPlace,
    run: &StageRun,
    step: &Step,
) -> Option<TeachingView> {
    let (state, now) = (workshop.state(), workshop.now());
    let learner = workshop.active()?;
    if !state.still_learns(&learner, &place.stage) {
        return None;
    }
    let name = crate::show::name(state, Some(&learner));
    let empty = StepRun::default();
    let here = run.steps.get(&step.id).unwrap_or(&empty);
    let lessons = state.presented(&learner, &place.stage);
    let presented = lessons.iter().any(|lesson| lesson.step == &step.id);
    let told = here.told.iter().any(|(who, _)| who == &learner);
    let lesson = if !presented {
        LessonWord::Present
    } else if step.is_hold_point() && !told {
        LessonWord::TellBack
    } else if lead_sees(state, &learner, place) == Some(LeadSees::TryingOut) {
        LessonWord::TryOut
    } else {
        LessonWord::FollowUp
    };
    let learning = state.learning(&learner, &place.stage, now);
    let next = match lesson {
        LessonWord::Present if step.is_hold_point() => {
            format!("Then {name} tells you the key point, for this is a hold point.")
        }
        LessonWord::Present => format!("Then {name} does it, and a lead witnesses."),
        LessonWord::TellBack => format!("Then {name} does the step."),
        LessonWord::TryOut => {
            "A lead looks on, mends a mistake at once, and witnesses after the signature."
                .to_owned()
        }
        LessonWord::FollowUp => {
            "Ask a lead whenever something is unclear. At the last step a lead looks at the work; \
             with that signature the stage is done alone from then on."
                .to_owned()
        }
    };
    Some(TeachingView {
        learner: learner.to_string(),
        name,
        lesson,
        prepare: lessons.is_empty() && run.steps.values().all(|step| step.done.is_none()),
        standing: learning_words(learning, now),
        next,
    })
}
