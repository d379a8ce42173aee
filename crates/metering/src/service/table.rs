//! The table of services: nine ways to meter a supply, as data.
//!
//! The combinations are the trade's usual ones (from memory). Which of them are exact follows from A. Blondel, "Measurement
//! of the energy of polyphase currents", Proc. Int. Electrical Congress, Chicago (1893): one element fewer than wires.

use super::{Element, LoadStar, Named, Node, Service, Span};
use Node::{A, B, C, N};

const fn span(from: Node, to: Node) -> Span {
    Span { from, to }
}

const fn to_neutral(line: Node) -> Span {
    span(line, N)
}

/// 1 ÷ √3.
const LEG: f64 = 0.577_350_269_189_625_8;
/// √3 ÷ 2.
const HALF_ROOT_3: f64 = 0.866_025_403_784_438_6;

/// Node voltages of a wye, as multiples of the line-to-line voltage.
pub const WYE_NODES: &[(Node, f64, f64)] = &[(A, LEG, 0.0), (B, -LEG / 2.0, -0.5), (C, -LEG / 2.0, 0.5)];

/// Node voltages of a 4-wire delta whose bank A–C is tapped in its middle; B is the high leg.
const HIGH_LEG_NODES: &[(Node, f64, f64)] = &[(A, 0.5, 0.0), (B, 0.0, -HALF_ROOT_3), (C, -0.5, 0.0)];

/// Node voltages of a single-phase 3-wire service.
const SPLIT_NODES: &[(Node, f64, f64)] = &[(A, 0.5, 0.0), (B, -0.5, 0.0)];

const THREE_TO_NEUTRAL: &[Span] = &[to_neutral(A), to_neutral(B), to_neutral(C)];

const PER_LEG: &[Element] = &[
    Element { name: "A", volts: to_neutral(A), currents: &[(A, 1.0)] },
    Element { name: "B", volts: to_neutral(B), currents: &[(B, 1.0)] },
    Element { name: "C", volts: to_neutral(C), currents: &[(C, 1.0)] },
];

const TWO_LEGS: &[Element] = &[
    Element { name: "A", volts: to_neutral(A), currents: &[(A, 1.0)] },
    Element { name: "B", volts: to_neutral(B), currents: &[(B, 1.0)] },
];

/// 4-wire wye with a 3-element meter: Va×Ia, Vb×Ib, Vc×Ic.
pub const WYE3: Service = Service {
    id: "wye3",
    wires: 4,
    nodes: WYE_NODES,
    named: Named::LineToLine,
    vts: THREE_TO_NEUTRAL,
    cts: &[A, B, C],
    elements: PER_LEG,
    load: LoadStar::Neutral,
};

/// 4-wire wye with a 2½-element meter: Va×(Ia − Ib), Vc×(Ic − Ib); exact only while Va + Vb + Vc = 0.
pub const WYE25: Service = Service {
    id: "wye25",
    wires: 4,
    nodes: WYE_NODES,
    named: Named::LineToLine,
    vts: &[to_neutral(A), to_neutral(C)],
    cts: &[A, B, C],
    elements: &[
        Element { name: "A", volts: to_neutral(A), currents: &[(A, 1.0), (B, -1.0)] },
        Element { name: "C", volts: to_neutral(C), currents: &[(C, 1.0), (B, -1.0)] },
    ],
    load: LoadStar::Neutral,
};

/// 3-wire delta with a 2-element meter behind two transformers in open delta: Vab×Ia, Vcb×Ic.
pub const DELTA2: Service = Service {
    id: "delta2",
    wires: 3,
    nodes: WYE_NODES,
    named: Named::LineToLine,
    vts: &[span(A, B), span(C, B)],
    cts: &[A, C],
    elements: &[
        Element { name: "1", volts: span(A, B), currents: &[(A, 1.0)] },
        Element { name: "2", volts: span(C, B), currents: &[(C, 1.0)] },
    ],
    load: LoadStar::Neutral,
};

/// 4-wire delta, high leg B, with a 3-element meter: each leg to neutral.
pub const DELTA4: Service = Service {
    id: "delta4",
    wires: 4,
    nodes: HIGH_LEG_NODES,
    named: Named::LineToLine,
    vts: THREE_TO_NEUTRAL,
    cts: &[A, B, C],
    elements: PER_LEG,
    load: LoadStar::MiddleOfLines,
};

/// 4-wire delta, high leg B, with a 2-element meter: Vac×(Ia − Ic)/2, Vbn×Ib; exact only while the tap is in the middle.
pub const DELTA4_2EL: Service = Service {
    id: "delta4_2el",
    wires: 4,
    nodes: HIGH_LEG_NODES,
    named: Named::LineToLine,
    vts: THREE_TO_NEUTRAL,
    cts: &[A, B, C],
    elements: &[
        Element { name: "AC", volts: span(A, C), currents: &[(A, 0.5), (C, -0.5)] },
        Element { name: "B", volts: to_neutral(B), currents: &[(B, 1.0)] },
    ],
    load: LoadStar::MiddleOfLines,
};

/// 3-wire network: two legs of a wye and the neutral, with a 2-element meter: Va×Ia, Vb×Ib.
pub const NETWORK2: Service = Service {
    id: "network2",
    wires: 3,
    nodes: &[(A, LEG, 0.0), (B, -LEG / 2.0, -0.5)],
    named: Named::LineToLine,
    vts: &[to_neutral(A), to_neutral(B)],
    cts: &[A, B],
    elements: TWO_LEGS,
    load: LoadStar::Neutral,
};

/// Single-phase 3-wire with a 2-element meter: each line to neutral.
pub const SINGLE3_2EL: Service = Service {
    id: "single3_2el",
    wires: 3,
    nodes: SPLIT_NODES,
    named: Named::LineToLine,
    vts: &[to_neutral(A), to_neutral(B)],
    cts: &[A, B],
    elements: TWO_LEGS,
    load: LoadStar::Neutral,
};

/// Single-phase 3-wire with a 1-element meter: Vab×(Ia − Ib)/2; exact only while the neutral is in the middle.
pub const SINGLE3_1EL: Service = Service {
    id: "single3_1el",
    wires: 3,
    nodes: SPLIT_NODES,
    named: Named::LineToLine,
    vts: &[span(A, B)],
    cts: &[A, B],
    elements: &[Element { name: "AB", volts: span(A, B), currents: &[(A, 0.5), (B, -0.5)] }],
    load: LoadStar::Neutral,
};

/// Single-phase 2-wire: V×I.
pub const SINGLE2: Service = Service {
    id: "single2",
    wires: 2,
    nodes: &[(A, 1.0, 0.0)],
    named: Named::LineToNeutral,
    vts: &[to_neutral(A)],
    cts: &[A],
    elements: &[Element { name: "A", volts: to_neutral(A), currents: &[(A, 1.0)] }],
    load: LoadStar::Neutral,
};

/// Every service.
pub const ALL: &[&Service] =
    &[&WYE3, &WYE25, &DELTA2, &DELTA4, &DELTA4_2EL, &NETWORK2, &SINGLE3_2EL, &SINGLE3_1EL, &SINGLE2];
