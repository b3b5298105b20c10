//! Arithmetic coding of whole numbers under tables of frequencies.
//!
//! Integer arithmetic coding after Witten, Neal and Cleary (1987), "Arithmetic coding for data compression",
//! Communications of the ACM 30(6):520–540 (from memory), with 31-bit limits, so that every product stays below
//! 2⁵³ and the practice page computes the same bits in ordinary numbers. Zero bytes at the end are left
//! out; the decoder reads zeros beyond the end.

const HALF: u64 = 1 << 30;
const QUARTER: u64 = 1 << 29;
const TOP: u64 = (1 << 31) - 1;

/// How often each symbol of an alphabet was seen, so far.
#[derive(Clone, Debug)]
pub struct Table {
    counts: Vec<u32>,
    /// What is added for a symbol that was seen; nought for a table that never learns.
    step: u32,
}

/// Above this sum all counts are halved: what is older counts less, and sums stay small.
const SUM_AT_MOST: u32 = 4096;

impl Table {
    /// Every one of `size` symbols as likely as any other, for ever.
    pub fn flat(size: usize) -> Self {
        Self { counts: vec![1; size], step: 0 }
    }

    /// Begins with these counts and adds `step` for each symbol seen.
    pub fn learning(counts: &[u32], step: u32) -> Self {
        Self { counts: counts.to_vec(), step }
    }

    fn sum(&self) -> u64 {
        self.counts.iter().map(|count| u64::from(*count)).sum()
    }

    fn below(&self, symbol: usize) -> u64 {
        self.counts[..symbol].iter().map(|count| u64::from(*count)).sum()
    }

    fn learn(&mut self, symbol: usize) {
        self.counts[symbol] += self.step;
        if self.counts.iter().sum::<u32>() > SUM_AT_MOST {
            for count in &mut self.counts {
                *count = count.div_ceil(2);
            }
        }
    }
}

/// Writes or reads one symbol under a table: the model walks the same way for both.
pub trait Coder {
    /// The writer takes the symbol and gives it back; the reader ignores what is passed and gives what it reads.
    fn code(&mut self, symbol: usize, table: &mut Table) -> usize;
}

/// Symbols to bits.
#[derive(Debug)]
pub struct Writer {
    low: u64,
    high: u64,
    pending: usize,
    bits: Vec<bool>,
}

impl Writer {
    /// Begins.
    pub fn new() -> Self {
        Self { low: 0, high: TOP, pending: 0, bits: Vec::new() }
    }

    fn emit(&mut self, bit: bool) {
        self.bits.push(bit);
        for _ in 0..self.pending {
            self.bits.push(!bit);
        }
        self.pending = 0;
    }

    /// The bytes, without zero bytes at the end.
    pub fn finish(mut self) -> Vec<u8> {
        self.pending += 1;
        self.emit(self.low >= QUARTER);
        let mut bytes: Vec<u8> = self
            .bits
            .chunks(8)
            .map(|eight| {
                eight.iter().enumerate().fold(0, |byte, (at, bit)| byte | u8::from(*bit) << (7 - at))
            })
            .collect();
        while bytes.last() == Some(&0) {
            bytes.pop();
        }
        bytes
    }
}

/// The limits narrowed to the part of one symbol.
fn narrowed(low: u64, high: u64, table: &Table, symbol: usize) -> (u64, u64) {
    let range = high - low + 1;
    let (sum, below) = (table.sum(), table.below(symbol));
    let above = below + u64::from(table.counts[symbol]);
    (low + range * below / sum, low + range * above / sum - 1)
}

impl Coder for Writer {
    fn code(&mut self, symbol: usize, table: &mut Table) -> usize {
        (self.low, self.high) = narrowed(self.low, self.high, table, symbol);
        loop {
            let taken = if self.high < HALF {
                self.emit(false);
                0
            } else if self.low >= HALF {
                self.emit(true);
                HALF
            } else if self.low >= QUARTER && self.high < HALF + QUARTER {
                self.pending += 1;
                QUARTER
            } else {
                break;
            };
            self.low = (self.low - taken) * 2;
            self.high = (self.high - taken) * 2 + 1;
        }
        table.learn(symbol);
        symbol
    }
}

/// Bits to symbols. Any bytes give some symbols: whether they are the ones written, a check says.
#[derive(Debug)]
pub struct Reader<'a> {
    low: u64,
    high: u64,
    value: u64,
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Reader<'a> {
    /// Begins.
    pub fn new(bytes: &'a [u8]) -> Self {
        let mut reader = Self { low: 0, high: TOP, value: 0, bytes, at: 0 };
        for _ in 0..31 {
            reader.value = reader.value * 2 + reader.bit();
        }
        reader
    }

    fn bit(&mut self) -> u64 {
        let byte = self.bytes.get(self.at / 8).copied().unwrap_or(0);
        let bit = byte >> (7 - self.at % 8) & 1;
        self.at += 1;
        u64::from(bit)
    }
}

impl Coder for Reader<'_> {
    fn code(&mut self, _: usize, table: &mut Table) -> usize {
        let range = self.high - self.low + 1;
        let place = ((self.value - self.low + 1) * table.sum() - 1) / range;
        let mut symbol = 0;
        let mut above = u64::from(table.counts[0]);
        while above <= place && symbol + 1 < table.counts.len() {
            symbol += 1;
            above += u64::from(table.counts[symbol]);
        }
        (self.low, self.high) = narrowed(self.low, self.high, table, symbol);
        loop {
            let taken = if self.high < HALF {
                0
            } else if self.low >= HALF {
                HALF
            } else if self.low >= QUARTER && self.high < HALF + QUARTER {
                QUARTER
            } else {
                break;
            };
            self.low = (self.low - taken) * 2;
            self.high = (self.high - taken) * 2 + 1;
            self.value = (self.value - taken) * 2 + self.bit();
        }
        table.learn(symbol);
        symbol
    }
}

#[cfg(test)]
mod tests {
    use super::{Coder, Reader, Table, Writer};

    #[test]
    fn what_is_written_is_read_and_costs_what_the_frequencies_say() {
        // A coin of 15 to 1 a thousand times: entropy 0.337 bits a throw, 42 bytes; a flat table needs 125.
        let throws: Vec<usize> = (0..1000).map(|at| usize::from(at % 16 == 5)).collect();
        for (mut table, most) in [(Table::learning(&[1, 1], 32), 48), (Table::flat(2), 126)] {
            let mut writer = Writer::new();
            let begin = table.clone();
            for throw in &throws {
                writer.code(*throw, &mut table);
            }
            let bytes = writer.finish();
            assert!(bytes.len() <= most, "{} bytes", bytes.len());
            let (mut reader, mut table) = (Reader::new(&bytes), begin);
            let read: Vec<usize> = throws.iter().map(|_| reader.code(0, &mut table)).collect();
            assert_eq!(read, throws);
        }
    }

    #[test]
    fn any_bytes_give_symbols_of_the_alphabet() {
        for seed in 0..200_u8 {
            let bytes: Vec<u8> = (0..40).map(|at: u8| at.wrapping_mul(seed).wrapping_add(seed)).collect();
            let (mut reader, mut table) = (Reader::new(&bytes), Table::learning(&[1; 5], 16));
            for _ in 0..400 {
                assert!(reader.code(0, &mut table) < 5);
            }
        }
    }
}
