//! Published bin-packing instances: optimum reached and proved.
//!
//! The numbers were read in public copies of the collections named beside each; optima are those of the literature. The
//! papers of Gent, of Scholl and others, and of Schwerin and Wäscher are cited from memory.

use super::tests::{many, one, sound};
use super::*;

/// Falkenauer's uniform class, u120_00, 120 pieces: E. Falkenauer, "A hybrid grouping genetic algorithm for bin packing",
/// Journal of Heuristics 2, 1996; OR-Library, binpack1. Length and count.
const U120_00: &[(u64, usize)] = &[
    (98, 3),
    (96, 2),
    (94, 1),
    (93, 2),
    (92, 1),
    (91, 2),
    (90, 1),
    (87, 1),
    (86, 1),
    (85, 2),
    (84, 5),
    (83, 2),
    (82, 2),
    (81, 1),
    (80, 3),
    (79, 2),
    (78, 4),
    (76, 1),
    (74, 2),
    (73, 4),
    (72, 1),
    (71, 1),
    (70, 3),
    (69, 3),
    (67, 1),
    (66, 1),
    (64, 1),
    (62, 2),
    (60, 2),
    (59, 1),
    (58, 3),
    (57, 4),
    (55, 3),
    (50, 1),
    (49, 3),
    (47, 1),
    (46, 2),
    (45, 2),
    (44, 2),
    (43, 4),
    (42, 5),
    (41, 3),
    (39, 2),
    (38, 3),
    (37, 1),
    (36, 3),
    (35, 1),
    (33, 3),
    (32, 2),
    (30, 3),
    (29, 1),
    (28, 1),
    (27, 2),
    (26, 1),
    (25, 2),
    (24, 1),
    (23, 2),
    (20, 1),
];

/// The same class, u120_08: one of the five that stood open until I. P. Gent, "Heuristic solution of open bin packing
/// problems", Journal of Heuristics 3, 1998.
const U120_08: &[u64] = &[
    100, 22, 25, 51, 95, 58, 97, 30, 79, 23, 53, 80, 20, 65, 64, 21, 26, 100, 81, 98, 70, 85, 92, 97, 86, 71, 91, 29,
    63, 34, 67, 23, 33, 89, 94, 47, 100, 37, 40, 58, 73, 39, 49, 79, 54, 57, 98, 69, 67, 49, 38, 34, 96, 27, 92, 82,
    69, 45, 69, 20, 75, 97, 51, 70, 29, 91, 98, 77, 48, 45, 43, 61, 36, 82, 89, 94, 26, 35, 58, 58, 57, 46, 44, 91, 49,
    52, 65, 42, 33, 60, 37, 57, 91, 52, 95, 84, 72, 75, 89, 81, 67, 74, 87, 60, 32, 76, 85, 59, 62, 39, 64, 52, 88, 45,
    29, 88, 85, 54, 40, 57,
];

/// The same class, u120_19: another of the five.
const U120_19: &[u64] = &[
    49, 95, 38, 62, 63, 97, 42, 62, 100, 43, 44, 77, 97, 94, 68, 23, 50, 36, 89, 58, 97, 27, 64, 65, 54, 58, 24, 35,
    33, 63, 32, 50, 58, 90, 44, 50, 48, 21, 72, 75, 21, 74, 28, 95, 77, 69, 96, 24, 57, 85, 72, 96, 50, 83, 65, 62, 99,
    93, 23, 77, 94, 31, 50, 33, 79, 73, 23, 55, 44, 78, 84, 66, 31, 59, 97, 95, 22, 76, 90, 66, 29, 100, 90, 92, 50,
    49, 47, 43, 37, 40, 60, 52, 54, 99, 34, 46, 88, 97, 85, 39, 32, 51, 95, 54, 99, 86, 48, 90, 28, 25, 86, 39, 74, 26,
    38, 60, 41, 67, 80, 33,
];

/// Falkenauer's triplets, t60_00: every bin of the optimum holds three pieces and is full. OR-Library, binpack5, in tenths.
const T60_00: &[u64] = &[
    495, 474, 473, 472, 466, 450, 445, 444, 439, 430, 419, 414, 410, 395, 372, 370, 366, 366, 366, 363, 361, 357, 355,
    351, 350, 350, 347, 320, 315, 307, 303, 299, 298, 298, 292, 288, 287, 283, 275, 275, 274, 273, 273, 272, 272, 271,
    269, 269, 268, 263, 262, 261, 259, 258, 255, 254, 252, 252, 252, 251,
];

/// N1W1B1R0 of A. Scholl, R. Klein, C. Jürgens, "BISON: a fast hybrid procedure for exactly solving the one-dimensional
/// bin packing problem", Computers and Operations Research 24, 1997, second data set.
const N1W1B1R0: &[u64] = &[
    395, 394, 394, 391, 390, 389, 388, 384, 383, 382, 380, 379, 376, 371, 368, 365, 360, 360, 354, 350, 346, 346, 344,
    342, 340, 335, 335, 333, 330, 330, 328, 327, 317, 316, 311, 310, 310, 306, 300, 300, 297, 296, 295, 294, 294, 286,
    285, 278, 275, 275,
];

/// The first of P. Schwerin, G. Wäscher, "The bin-packing problem: a problem generator and some numerical experiments
/// with FFD packing and MTP", International Transactions in Operational Research 4, 1997, first set.
const SCHWERIN_1: &[u64] = &[
    200, 200, 200, 199, 198, 198, 197, 197, 194, 194, 193, 192, 191, 191, 191, 190, 190, 189, 188, 188, 187, 187, 186,
    185, 185, 185, 185, 184, 184, 184, 183, 183, 183, 182, 182, 182, 181, 181, 180, 179, 179, 179, 179, 178, 177, 177,
    177, 177, 175, 174, 173, 173, 172, 171, 171, 171, 170, 170, 169, 169, 169, 167, 167, 165, 165, 164, 163, 163, 163,
    163, 162, 161, 160, 160, 159, 158, 158, 158, 157, 156, 156, 156, 156, 156, 156, 155, 155, 155, 154, 154, 153, 152,
    152, 152, 151, 151, 150, 150, 150, 150,
];

#[test]
fn larger_published_instances_are_solved_and_proved() {
    let cases = [
        ("u120_00", 150, many(U120_00), 120, 48),
        ("u120_08", 150, U120_08.to_vec(), 120, 50),
        ("u120_19", 150, U120_19.to_vec(), 120, 49),
        ("t60_00", 1000, T60_00.to_vec(), 60, 20),
        ("N1W1B1R0", 1000, N1W1B1R0.to_vec(), 50, 18),
        ("Schwerin 1, first", 1000, SCHWERIN_1.to_vec(), 100, 18),
    ];
    let mut short = Vec::new();
    for (name, length, pieces, count, optimum) in cases {
        assert_eq!(pieces.len(), count, "{name}");
        let plan = cut(&one(length, 0), &pieces, &Effort::FULL);
        sound(&one(length, 0), &pieces, &plan);
        if (plan.cost, plan.bound) != (optimum, optimum) {
            short.push(format!("{name}: {} boards, bound {}, published {optimum}", plan.cost, plan.bound));
        }
    }
    assert!(short.is_empty(), "{short:#?}");
}
