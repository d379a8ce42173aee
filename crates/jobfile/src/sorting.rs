//! One stable sort for lists of every kind: only the order of their places is computed, so its code is downloaded once and not once
//! for each kind of list.

use std::cmp::Ordering;

/// Sorts by a key; what has the same key stays in its order.
pub fn sort_by_key<T, K: Ord>(list: &mut [T], key: impl Fn(&T) -> K) {
    sort_by(list, |one, other| key(one).cmp(&key(other)));
}

/// Sorts by a comparison; what is equal stays in its order.
pub fn sort_by<T>(list: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    let compare = |one: usize, other: usize| match (list.get(one), list.get(other)) {
        (Some(one), Some(other)) => compare(one, other),
        _ => Ordering::Equal,
    };
    let mut places = order(list.len(), &compare);
    for first in 0..places.len() {
        // Round by round: what belongs at a place is fetched there, and the hole it leaves is filled next.
        let mut at = first;
        while let Some(place) = places.get_mut(at) {
            let from = std::mem::replace(place, at);
            if from == first || from == at {
                break;
            }
            list.swap(at, from);
            at = from;
        }
    }
}

/// The places of a list of `count`, in the order that the comparison of two places gives.
fn order(count: usize, compare: &dyn Fn(usize, usize) -> Ordering) -> Vec<usize> {
    let mut places: Vec<usize> = (0..count).collect();
    places.sort_by(|one, other| compare(*one, *other));
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn as_the_standard_sort_does(list in proptest::collection::vec((0_u8..6, any::<u16>()), 0..80)) {
            let (mut own, mut standard) = (list.clone(), list);
            sort_by_key(&mut own, |(key, _)| *key);
            standard.sort_by_key(|(key, _)| *key);
            prop_assert_eq!(own, standard);
        }
    }
}
