//! Values by hash: one search tree over the bits of hashes, whatever the values are, so its code is downloaded once.
//!
//! A hash is spread evenly by itself, and nobody can make two hashes agree in more than some dozen bits beyond those that
//! tell as many others apart: the tree stays shallow, whatever order a file gives its hashes in.

use crate::hash::Hash;

/// Values, each under one hash.
#[derive(Clone, Debug)]
pub struct ByHash<T> {
    tree: Tree,
    values: Vec<T>,
}

impl<T> Default for ByHash<T> {
    fn default() -> Self {
        Self::new()
    }
}

impl<T> ByHash<T> {
    /// No values yet.
    pub const fn new() -> Self {
        Self { tree: Tree { hashes: Vec::new(), branches: Vec::new() }, values: Vec::new() }
    }

    /// How many values there are.
    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// Puts a value under a hash; false, and nothing changes, where one is there already.
    pub fn insert(&mut self, hash: Hash, value: T) -> bool {
        let is_new = self.tree.insert(hash);
        if is_new {
            self.values.push(value);
        }
        is_new
    }

    /// The value of a hash.
    pub fn get(&self, hash: Hash) -> Option<&T> {
        self.values.get(self.number(hash)?)
    }

    /// Whether there is a value under a hash.
    pub fn contains(&self, hash: Hash) -> bool {
        self.number(hash).is_some()
    }

    /// Every value with its hash, in the order of the hashes.
    pub fn iter(&self) -> impl Iterator<Item = (Hash, &T)> {
        self.tree.sorted().into_iter().filter_map(|number| {
            let number = number as usize;
            Some((*self.tree.hashes.get(number)?, self.values.get(number)?))
        })
    }

    /// The number of a hash, from 0, in the order in which they were put in.
    pub(crate) fn number(&self, hash: Hash) -> Option<usize> {
        self.tree.find(hash)
    }

    /// The values by their numbers.
    pub(crate) fn values(&self) -> &[T] {
        &self.values
    }

    /// The values by their numbers.
    pub(crate) fn values_mut(&mut self) -> &mut [T] {
        &mut self.values
    }

    /// The hashes by their numbers.
    pub(crate) fn hashes(&self) -> &[Hash] {
        &self.tree.hashes
    }
}

/// The order of putting in does not matter.
impl<T: PartialEq> PartialEq for ByHash<T> {
    fn eq(&self, other: &Self) -> bool {
        self.len() == other.len()
            && self.hashes().iter().zip(&self.values).all(|(hash, value)| other.get(*hash) == Some(value))
    }
}

impl<T: Eq> Eq for ByHash<T> {}

/// Of two values under one hash the first stays.
impl<T, const COUNT: usize> From<[(Hash, T); COUNT]> for ByHash<T> {
    fn from(list: [(Hash, T); COUNT]) -> Self {
        let mut made = Self::new();
        for (hash, value) in list {
            made.insert(hash, value);
        }
        made
    }
}

/// What a branch holds on a side where no hash goes; no branch leads back to the first one, whose number it is.
const NOTHING: u32 = 0;
/// What marks the number of a hash, where others are numbers of branches.
const LEAF: u32 = 1 << 31;
/// Bits of a hash.
const BITS: usize = 256;

/// Numbers of hashes, found bit by bit.
#[derive(Clone, Debug)]
struct Tree {
    hashes: Vec<Hash>,
    /// Where it goes on when the next bit is 0, and when it is 1; the first branch asks for the first bit.
    branches: Vec<[u32; 2]>,
}

impl Tree {
    fn find(&self, hash: Hash) -> Option<usize> {
        let mut at = 0;
        for depth in 0..BITS {
            let next = *self.branches.get(at)?.get(bit(&hash, depth))?;
            if next == NOTHING {
                return None;
            }
            at = (next & !LEAF) as usize;
            if next & LEAF != 0 {
                return (self.hashes.get(at) == Some(&hash)).then_some(at);
            }
        }
        None
    }

    /// Whether the hash is a new one.
    fn insert(&mut self, hash: Hash) -> bool {
        if self.branches.is_empty() {
            self.branches.push([NOTHING; 2]);
        }
        let leaf = LEAF | self.hashes.len() as u32;
        let mut at = 0;
        for depth in 0..BITS {
            let count = self.branches.len();
            let Some(side) = self.branches.get_mut(at).and_then(|branch| branch.get_mut(bit(&hash, depth))) else {
                break;
            };
            let next = *side;
            if next == NOTHING {
                *side = leaf;
                self.hashes.push(hash);
                return true;
            }
            at = (next & !LEAF) as usize;
            if next & LEAF == 0 {
                continue;
            }
            let Some(other) = self.hashes.get(at).filter(|other| **other != hash) else { break };
            // The two go on together for one bit more, and part there or further down.
            let mut branch = [NOTHING; 2];
            if let Some(place) = branch.get_mut(bit(other, depth + 1)) {
                *place = next;
            }
            *side = count as u32;
            self.branches.push(branch);
            at = count;
        }
        false
    }

    /// The numbers of all hashes, in the order of the hashes.
    fn sorted(&self) -> Vec<u32> {
        let mut sorted = Vec::with_capacity(self.hashes.len());
        let mut ahead = Vec::new();
        let mut next = NOTHING;
        loop {
            if next & LEAF != 0 {
                sorted.push(next & !LEAF);
            } else if let Some([low, high]) = self.branches.get(next as usize) {
                for side in [high, low] {
                    if *side != NOTHING {
                        ahead.push(*side);
                    }
                }
            }
            match ahead.pop() {
                Some(side) => next = side,
                None => return sorted,
            }
        }
    }
}

/// The bit of a hash at a depth, the greatest first.
fn bit(hash: &Hash, depth: usize) -> usize {
    let byte = hash.bytes().get(depth / 8).copied().unwrap_or(0);
    usize::from(byte >> (7 - depth % 8) & 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    /// Hashes that agree in most of their bits, as no honest list of them does.
    fn alike() -> impl Strategy<Value = Hash> {
        (0_usize..64, any::<u8>()).prop_map(|(at, bits)| {
            let digits: String =
                (0..64).map(|place| if place == at { format!("{:x}", bits & 15) } else { "0".to_owned() }).collect();
            digits.parse().unwrap()
        })
    }

    proptest! {
        #[test]
        fn as_the_standard_map_does(list in prop::collection::vec((alike(), any::<u16>()), 0..60), asked in alike()) {
            let (mut own, mut standard) = (ByHash::new(), BTreeMap::new());
            for (hash, value) in list {
                prop_assert_eq!(own.insert(hash, value), !standard.contains_key(&hash));
                standard.entry(hash).or_insert(value);
            }
            prop_assert_eq!(own.len(), standard.len());
            prop_assert_eq!(own.get(asked), standard.get(&asked));
            prop_assert!(own.iter().map(|(hash, value)| (hash, *value)).eq(standard.clone()));
            for (number, hash) in own.hashes().iter().enumerate() {
                prop_assert_eq!(own.number(*hash), Some(number));
            }
        }
    }
}
