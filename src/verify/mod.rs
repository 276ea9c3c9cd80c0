//! Re-derives every strip and kerf of a plan from the rules; shares no code with planning.
