//! Numbers of so many bits, one after another, most significant bit first.

/// Writes.
#[derive(Debug, Default)]
pub struct BitWriter {
    bits: Vec<bool>,
}

impl BitWriter {
    /// Writes the lowest `width` bits of a number.
    pub fn put(&mut self, value: u64, width: usize) {
        self.bits.extend((0..width).rev().map(|at| value >> at & 1 == 1));
    }

    /// Groups of `size` bits as numbers, the last filled up with zeros.
    pub fn groups(&self, size: usize) -> Vec<u8> {
        self.bits
            .chunks(size)
            .map(|group| {
                group.iter().enumerate().fold(0, |all, (at, bit)| all | u8::from(*bit) << (size - 1 - at))
            })
            .collect()
    }
}

/// Reads.
#[derive(Debug)]
pub struct BitReader {
    bits: Vec<bool>,
    at: usize,
}

impl BitReader {
    /// Over groups of `size` bits.
    pub fn new(groups: &[u8], size: usize) -> Self {
        let bits =
            groups.iter().flat_map(|group| (0..size).rev().map(move |at| group >> at & 1 == 1)).collect();
        Self { bits, at: 0 }
    }

    /// The next number of `width` bits; `None` beyond the end.
    pub fn take(&mut self, width: usize) -> Option<u64> {
        let bits = self.bits.get(self.at..self.at.checked_add(width)?)?;
        self.at += width;
        Some(bits.iter().fold(0, |value, bit| value << 1 | u64::from(*bit)))
    }

    /// What is left, as bits.
    pub fn rest(&self) -> &[bool] {
        &self.bits[self.at..]
    }
}
