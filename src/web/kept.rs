//! Answers kept in memory for as long as the marks of the record they were worked out under
//! still stand. Nothing here is ever out of date; a restart begins again with nothing kept.

use std::{
    collections::HashMap,
    hash::Hash,
    sync::{Arc, Mutex, PoisonError},
};

/// An answer with the marks it was worked out under; locked while it is worked out.
type Slot<M, V> = Arc<tokio::sync::Mutex<Option<(M, Arc<V>)>>>;

/// Answers to one question, by what it was asked of (`K`), each with its marks (`M`).
pub struct Kept<K, M, V> {
    slots: Mutex<HashMap<K, Slot<M, V>>>,
    room: usize,
}

impl<K: Eq + Hash, M: PartialOrd, V> Kept<K, M, V> {
    /// Room for so many answers; when it is full all are forgotten.
    pub fn with_room(room: usize) -> Self {
        Self {
            slots: Mutex::new(HashMap::new()),
            room,
        }
    }

    /// The answer under these marks or later ones: kept, or worked out by `make`, which says under
    /// which marks it did. Of many who ask at once one works it out; the others, whose marks are
    /// no later, take it from there, however often the record changed while they waited. Where it
    /// fails, each of the others tries in turn.
    ///
    /// Marks only ever rise, so of two the later is the greater.
    pub async fn get<E>(
        &self,
        key: K,
        marks: M,
        make: impl Future<Output = Result<(M, V), E>>,
    ) -> Result<Arc<V>, E> {
        let slot = self.slot(key);
        let mut kept = slot.lock().await;
        if let Some((under, answer)) = kept.as_ref()
            && *under >= marks
        {
            return Ok(answer.clone());
        }
        let (under, answer) = make.await?;
        let answer = Arc::new(answer);
        *kept = Some((under, answer.clone()));
        Ok(answer)
    }

    fn slot(&self, key: K) -> Slot<M, V> {
        let mut slots = self.slots.lock().unwrap_or_else(PoisonError::into_inner);
        if slots.len() >= self.room && !slots.contains_key(&key) {
            slots.clear();
        }
        slots.entry(key).or_default().clone()
    }
}

#[cfg(test)]
mod tests {
    use std::convert::Infallible;

    use super::*;

    async fn ask(
        kept: &Kept<&'static str, i64, i64>,
        key: &'static str,
        mark: i64,
        says: i64,
    ) -> i64 {
        let answer = kept
            .get(key, mark, async { Ok::<_, Infallible>((mark, says)) })
            .await;
        match answer {
            Ok(answer) => *answer,
            Err(never) => match never {},
        }
    }

    #[tokio::test]
    async fn an_answer_holds_until_its_mark_moves() {
        let kept = Kept::with_room(2);
        assert_eq!(ask(&kept, "peg 1", 1, 10).await, 10);
        assert_eq!(ask(&kept, "peg 1", 1, 11).await, 10);
        assert_eq!(ask(&kept, "peg 1", 2, 12).await, 12);
    }

    #[tokio::test]
    async fn who_asked_under_an_earlier_mark_takes_the_later_answer() {
        let kept = Kept::with_room(2);
        assert_eq!(ask(&kept, "peg 1", 3, 30).await, 30);
        assert_eq!(ask(&kept, "peg 1", 2, 20).await, 30);
    }

    #[tokio::test]
    async fn when_room_runs_out_answers_are_worked_out_anew() {
        let kept = Kept::with_room(1);
        ask(&kept, "peg 1", 1, 10).await;
        ask(&kept, "peg 2", 1, 20).await;
        assert_eq!(ask(&kept, "peg 1", 1, 11).await, 11);
    }
}
