//! The glue-up: places, placings, straightness, glue and clamps (MODEL 8).
