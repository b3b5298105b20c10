//! Check sums over bytes.

/// The check sum CRC-32 of ISO 3309 (reflected polynomial 0xEDB88320, begin and end inverted; from memory, its
/// check value 0xCBF43926 is tested). Every burst up to 32 bits is caught; other damage passes with a
/// chance of 2⁻³².
pub fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(
            sum ^ u32::from(*byte),
            |sum, _| if sum & 1 == 1 { sum >> 1 ^ 0xEDB8_8320 } else { sum >> 1 },
        )
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn it_meets_the_published_check_value() {
        assert_eq!(super::crc32(b"123456789"), 0xCBF4_3926);
    }
}
