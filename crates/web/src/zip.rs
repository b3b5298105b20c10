//! Several files as one, in the ZIP format, stored and not compressed.

/// The files as one archive. Layout: PKWARE's application note 6.3.10, sections 4.3.7, 4.3.12, 4.3.16;
/// names are ASCII.
pub(crate) fn zip<'a>(files: impl IntoIterator<Item = (&'a str, &'a [u8])>) -> Vec<u8> {
    let (mut out, mut directory, mut count) = (Vec::new(), Vec::new(), 0_u16);
    for (name, bytes) in files {
        let at = length(out.len());
        let mut fields = Vec::new();
        fields.extend([20, 0, 0, 0, 0, 0]);
        // No time: noon of the first day of the format, so that the same files give the same bytes.
        fields.extend(0x6000_u16.to_le_bytes());
        fields.extend(0x0021_u16.to_le_bytes());
        fields.extend(checksum(bytes).to_le_bytes());
        fields.extend(length(bytes.len()).to_le_bytes());
        fields.extend(length(bytes.len()).to_le_bytes());
        fields.extend(u16::try_from(name.len()).unwrap_or(u16::MAX).to_le_bytes());
        fields.extend([0, 0]);
        out.extend(b"PK\x03\x04");
        out.extend(&fields);
        out.extend(name.as_bytes());
        out.extend(bytes);
        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(&fields);
        directory.extend([0; 10]);
        directory.extend(at.to_le_bytes());
        directory.extend(name.as_bytes());
        count = count.saturating_add(1);
    }
    let at = length(out.len());
    let size = length(directory.len());
    out.extend(directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(count.to_le_bytes());
    out.extend(count.to_le_bytes());
    out.extend(size.to_le_bytes());
    out.extend(at.to_le_bytes());
    out.extend([0, 0]);
    out
}

/// A length in an archive; what one person's records hold stays far below the limit.
fn length(bytes: usize) -> u32 {
    u32::try_from(bytes).unwrap_or(u32::MAX)
}

/// CRC-32 as the format asks for it (ISO 3309), bit by bit.
fn checksum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(
            sum ^ u32::from(*byte),
            |sum, _| if sum & 1 == 1 { (sum >> 1) ^ 0xEDB8_8320 } else { sum >> 1 },
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The check value that is published for this sum.
    #[test]
    fn the_checksum_of_one_to_nine_is_the_published_one() {
        assert_eq!(checksum(b"123456789"), 0xCBF4_3926);
    }

    #[test]
    fn the_directory_stands_where_the_end_says_and_names_every_file() {
        let archive = zip([("a.txt", b"one".as_slice()), ("b.txt", b"two two".as_slice())]);
        let end = archive.len() - 22;
        assert_eq!(&archive[end..end + 4], b"PK\x05\x06");
        let word =
            |at: usize| u32::from_le_bytes([archive[at], archive[at + 1], archive[at + 2], archive[at + 3]]);
        let at = usize::try_from(word(end + 16)).expect("small");
        assert_eq!(&archive[at..at + 4], b"PK\x01\x02");
        let second = usize::try_from(word(at + 46 + 5 + 42)).expect("small");
        assert_eq!(&archive[second..second + 4], b"PK\x03\x04");
        assert_eq!(&archive[second + 30..second + 42], b"b.txttwo two");
    }
}
