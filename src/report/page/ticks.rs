//! What was ticked on a page stays ticked when it is opened again: on a phone a page is thrown away
//! whenever something else is looked at.

use std::fmt::{Result, Write};

/// The page's only script. Without it, or where nothing may be stored, ticks are as before.
const SCRIPT: &str = include_str!("ticks.js");

/// A page as it is written, with a number that tells it from other pages.
pub(super) struct Ticked<'a> {
    out: &'a mut dyn Write,
    number: u64,
}

impl<'a> Ticked<'a> {
    pub(super) fn new(out: &'a mut dyn Write) -> Ticked<'a> {
        // FNV-1a, 64 bits: the same on every machine.
        Ticked { out, number: 0xcbf2_9ce4_8422_2325 }
    }

    /// The end of the page. Of another plan, or of the same one changed, nothing is ticked.
    pub(super) fn finish(self) -> Result {
        let script = SCRIPT.trim().replace("PAGE", &format!("{:016x}", self.number));
        write!(self.out, "<script>{script}</script></body></html>")
    }
}

impl Write for Ticked<'_> {
    fn write_str(&mut self, text: &str) -> Result {
        for byte in text.bytes() {
            self.number = (self.number ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        self.out.write_str(text)
    }
}
