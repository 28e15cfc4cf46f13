//! Where the numbers of an input stand: an address is the hash of its name, so that one more input moves no other.

/// Words of the generator reserved for one address: enough for any vector input.
pub(crate) const WORDS_PER_ADDRESS: u128 = 1 << 16;
/// Words of one block of the generator.
const WORDS_PER_BLOCK: u128 = 16;

/// Where the numbers of one input stand in the stream of a trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Address(pub(crate) u64);

impl Address {
    /// Address of a named input, e.g. `sluice/contact_efficiency`: 48 bits of the FNV-1a hash of the name.
    pub fn of(name: &str) -> Self {
        let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
        for byte in name.bytes() {
            hash ^= u64::from(byte);
            hash = hash.wrapping_mul(0x0000_0100_0000_01b3);
        }
        Address((hash >> 16) ^ (hash & 0xffff))
    }

    /// Its number, below 2^48.
    pub fn number(self) -> u64 {
        self.0
    }

    /// Number of the generator's block (16 words) that it starts with.
    pub(crate) fn block(self) -> u64 {
        self.0 * (WORDS_PER_ADDRESS / WORDS_PER_BLOCK) as u64
    }
}
