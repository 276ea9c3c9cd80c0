//! Before the saw: what each board gives, and what to buy.
