//! Keys, sealing under a key, and the way from a passphrase to a key.

use argon2::{Algorithm, Argon2, Params, Version};
use blake2::Blake2bMac;
use blake2::digest::consts::U32;
use blake2::digest::{FixedOutput, KeyInit as _, Update};
use chacha20poly1305::XChaCha20Poly1305;
use chacha20poly1305::aead::{Aead, Payload};
use zeroize::{Zeroize, ZeroizeOnDrop, Zeroizing};

use crate::error::Error;

/// Bytes of a nonce of XChaCha20-Poly1305: long enough to be drawn by chance for every sealing.
const NONCE: usize = 24;

/// Bytes from the chance of the operating system.
pub(crate) fn random<const N: usize>() -> Result<[u8; N], Error> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|error| Error::NoChance { why: error.to_string() })?;
    Ok(bytes)
}

/// A key of 256 bits, wiped from memory when it is dropped and never printed.
#[derive(Clone, Zeroize, ZeroizeOnDrop)]
pub(crate) struct Key([u8; 32]);

impl Key {
    /// A new key by chance.
    pub(crate) fn new() -> Result<Self, Error> {
        random().map(Self)
    }

    /// A key from its bytes.
    pub(crate) fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Whether two keys are the same. Used only between keys that were both unwrapped.
    pub(crate) fn same(&self, other: &Self) -> bool {
        self.0.iter().zip(other.0).fold(0, |all, (a, b)| all | (a ^ b)) == 0
    }

    /// A key for another purpose, from which this one cannot be found.
    pub(crate) fn derive(&self, purpose: &str) -> Self {
        Self(self.mac(&[purpose.as_bytes()]))
    }

    /// BLAKE2b keyed with this key (zeros behind it up to 64 bytes) over parts, each with its length before it.
    pub(crate) fn mac(&self, parts: &[&[u8]]) -> [u8; 32] {
        let mut wide = Zeroizing::new([0_u8; 64]);
        wide[..32].copy_from_slice(&self.0);
        let mut mac = Blake2bMac::<U32>::new((&*wide).into());
        for part in parts {
            mac.update(&(part.len() as u64).to_be_bytes());
            mac.update(part);
        }
        mac.finalize_fixed().into()
    }

    /// Seals bytes: nonce, then ciphertext with its tag. It opens only with the same `bound` bytes.
    pub(crate) fn seal(&self, plain: &[u8], bound: &[u8]) -> Result<Vec<u8>, Error> {
        let nonce = random::<NONCE>()?;
        let cipher = XChaCha20Poly1305::new(&self.0.into());
        let sealed = cipher
            .encrypt(&nonce.into(), Payload { msg: plain, aad: bound })
            .map_err(|_| Error::damaged("a body is longer than the cipher can seal".to_owned()))?;
        Ok([nonce.as_slice(), &sealed].concat())
    }

    /// Opens what [`Key::seal`] sealed; `None` if the key, the bytes or the bound bytes differ.
    pub(crate) fn open(&self, sealed: &[u8], bound: &[u8]) -> Option<Zeroizing<Vec<u8>>> {
        let (nonce, sealed) = sealed.split_first_chunk::<NONCE>()?;
        let cipher = XChaCha20Poly1305::new(&self.0.into());
        cipher.decrypt(nonce.into(), Payload { msg: sealed, aad: bound }).ok().map(Zeroizing::new)
    }

    /// Wraps another key, bound to whose it is.
    pub(crate) fn wrap(&self, key: &Key, whose: &[u8]) -> Result<Vec<u8>, Error> {
        self.seal(&key.0, &[b"footrose key 1".as_slice(), whose].concat())
    }

    /// Unwraps what [`Key::wrap`] wrapped.
    pub(crate) fn unwrap_key(&self, wrapped: &[u8], whose: &[u8]) -> Option<Key> {
        let plain = self.open(wrapped, &[b"footrose key 1".as_slice(), whose].concat())?;
        <[u8; 32]>::try_from(plain.as_slice()).ok().map(Self)
    }
}

/// What it costs to try one passphrase: parameters of Argon2id, stored in the header of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KeyCost {
    pub(crate) memory_kib: u32,
    pub(crate) passes: u32,
    pub(crate) lanes: u32,
}

impl KeyCost {
    /// The second recommended option of RFC 9106 (section 4): 64 MiB, three passes, four lanes.
    ///
    /// The first option asks for 2 GiB, which a clinic's machine may not have to spare.
    #[must_use]
    pub fn recommended() -> Self {
        Self { memory_kib: 64 * 1024, passes: 3, lanes: 4 }
    }

    /// The least the function can do: for invented clinics in tests, never for people's records.
    #[must_use]
    pub fn cheap_for_tests_only() -> Self {
        Self { memory_kib: 8, passes: 1, lanes: 1 }
    }
}

/// What a passphrase gives: the key that unwraps the master key, and the tag under which the
/// wrapped key is found.
pub(crate) struct FromPassphrase {
    pub(crate) key: Key,
    pub(crate) tag: [u8; 16],
}

/// Name and passphrase to key, by Argon2id. Takes a part of a second; call it where it may block.
pub(crate) fn stretch(
    passphrase: &str,
    salt: &[u8],
    name: &str,
    cost: KeyCost,
) -> Result<FromPassphrase, Error> {
    let salt = Key::from_bytes(padded(salt)).mac(&[b"name", tidy_name(name).as_bytes()]);
    let params = Params::new(cost.memory_kib, cost.passes, cost.lanes, Some(48))
        .map_err(|error| Error::damaged(format!("the header asks for an impossible cost: {error}")))?;
    let mut out = Zeroizing::new([0_u8; 48]);
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(passphrase.as_bytes(), &salt, out.as_mut_slice())
        .map_err(|error| Error::NoChance { why: format!("a passphrase could not be stretched: {error}") })?;
    let (key, tag) = out.split_at(32);
    let mut bytes = [0; 32];
    bytes.copy_from_slice(key);
    let mut short = [0; 16];
    short.copy_from_slice(tag);
    Ok(FromPassphrase { key: Key::from_bytes(bytes), tag: short })
}

/// A salt as a key of BLAKE2b.
fn padded(salt: &[u8]) -> [u8; 32] {
    let mut out = [0; 32];
    for (to, from) in out.iter_mut().zip(salt) {
        *to = *from;
    }
    out
}

/// A name as it is compared: without surrounding space, in small letters.
pub(crate) fn tidy_name(name: &str) -> String {
    name.trim().to_lowercase()
}

/// In which of sixteen counters failures under this name are counted.
///
/// Four bits of a hash: enough that one person who mistypes does not hold up all others, too few to
/// confirm a guess at a name.
pub(crate) fn bucket(salt: &[u8], name: &str) -> i64 {
    let hash = Key::from_bytes(padded(salt)).mac(&[b"bucket", tidy_name(name).as_bytes()]);
    i64::from(hash[0] & 15)
}

/// A passphrase that is long enough to be one.
pub(crate) fn check_passphrase(passphrase: &str, name: &str) -> Result<(), Error> {
    let refuse = |why| Err(Error::WeakPassphrase { why });
    let length = passphrase.chars().count();
    if length < SHORTEST_PASSPHRASE {
        return refuse(format!("it has {length} characters"));
    }
    let mut different: Vec<char> = passphrase.chars().collect();
    different.sort_unstable();
    different.dedup();
    if different.len() < 5 {
        return refuse(format!("it has only {} different characters", different.len()));
    }
    if !tidy_name(name).is_empty() && tidy_name(passphrase) == tidy_name(name) {
        return refuse("it is the name".to_owned());
    }
    Ok(())
}

/// Characters a passphrase has at least.
///
/// Whoever has a copy of the file can try passphrases without asking this program, so the slow
/// sign-in protects nothing then; length does. Twelve characters by chance are out of reach, twelve
/// chosen by a person are three or four words, which people can remember.
pub const SHORTEST_PASSPHRASE: usize = 12;
