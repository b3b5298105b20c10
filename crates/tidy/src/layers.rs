//! The rings and the order of the crates: who may use whom.

/// Every crate with its ring, in the order of the map. A crate may use those that stand before it.
pub const ORDER: [(&str, Ring); 19] = [
    ("quantity", Ring::Nouns),
    ("anatomy", Ring::Nouns),
    ("movement", Ring::Records),
    ("person", Ring::Records),
    ("measurement", Ring::Records),
    ("biomech", Ring::Reasoning),
    ("safety", Ring::Reasoning),
    ("programme", Ring::Reasoning),
    ("progress", Ring::Reasoning),
    ("validation", Ring::Reasoning),
    ("drawing", Ring::Words),
    ("document", Ring::Words),
    ("store", Ring::Edges),
    ("exchange", Ring::Edges),
    ("app", Ring::Edges),
    ("clinic", Ring::Edges),
    ("web", Ring::Edges),
    ("cli", Ring::Edges),
    ("tidy", Ring::Outside),
];

/// Uses that the order would allow and that are forbidden all the same, with the reason.
pub const FORBIDDEN: [(&str, &str, &str); 3] = [
    ("biomech", "person", "the physics does not know the diagnosis"),
    (
        "measurement",
        "person",
        "a result is scored alike whoever it belongs to; what is known of the person is passed in",
    ),
    ("drawing", "person", "a drawing shows a movement and a posture, never a record"),
];

/// How far from the outside world a crate stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ring {
    /// What the words mean.
    Nouns,
    /// What is known.
    Records,
    /// What follows from it.
    Reasoning,
    /// How it is said.
    Words,
    /// Where it meets files, clocks and people.
    Edges,
    /// Not part of the product.
    Outside,
}

impl Ring {
    /// Whether its crates do no I/O and read no clock.
    #[must_use]
    pub fn is_pure(self) -> bool {
        self < Self::Edges
    }
}

/// The crates that do no I/O, in order.
pub fn pure_crates() -> impl Iterator<Item = &'static str> {
    ORDER.into_iter().filter(|(_, ring)| ring.is_pure()).map(|(name, _)| name)
}
