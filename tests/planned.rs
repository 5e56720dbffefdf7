//! What is planned and judged on roofs: solids, checks, mends, windows, strength, air.

mod air_flow;
mod brute_force;
mod checks;
mod common;
mod corpus;
mod examples;
mod fix;
mod found_and_laid;
mod gaps;
mod half_driven;
mod mends;
mod moved;
mod panels;
mod properties;
mod stepped;
mod strength;
mod strength_keys;
mod tolerance;
mod trade_facts;
mod windows;
