//! Devices of the clinic's network: admitted by somebody signed in, known by the hash of what they hold, sent away.

use std::fmt;

use serde::{Deserialize, Serialize};
use sqlx::{Connection, Row};
use zeroize::{Zeroize, ZeroizeOnDrop};

use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::ids::{AccountId, DeviceId, Moment, PersonId};
use crate::registry::Role;
use crate::secret::{Key, random};
use crate::session::{Permit, Session, uncancelled};
use crate::store::Store;

/// The longest name of a device, in characters.
const LONGEST_NAME: usize = 40;

/// What an admitted device holds and shows each time: 256 bits by chance, stored nowhere here.
#[derive(Zeroize, ZeroizeOnDrop)]
pub struct DeviceSecret([u8; 32]);

/// By what an admitted device is known: the hash of its secret.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct DeviceMark([u8; 32]);

impl DeviceSecret {
    /// From the 64 hexadecimal digits it is carried as; `None` for anything else.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut bytes = [0; 32];
        if text.len() != 2 * bytes.len() || !text.bytes().all(|digit| digit.is_ascii_hexdigit()) {
            return None;
        }
        for (at, byte) in bytes.iter_mut().enumerate() {
            *byte = u8::from_str_radix(text.get(2 * at..2 * at + 2)?, 16).ok()?;
        }
        Some(Self(bytes))
    }

    /// Its hash. 256 bits by chance need no slow function.
    #[must_use]
    pub fn mark(&self) -> DeviceMark {
        DeviceMark(Key::from_bytes(self.0).mac(&[b"footrose device 1"]))
    }
}

impl fmt::Display for DeviceSecret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for DeviceSecret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("DeviceSecret")
    }
}

/// A device that was admitted once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// Its random name.
    pub id: DeviceId,
    /// What people call it.
    pub name: String,
    /// Who admitted it.
    pub by: AccountId,
    /// When it was admitted.
    pub added: Moment,
    /// When it was seen last, to a few minutes.
    pub seen: Moment,
    /// When it was sent away, if it was.
    pub ended: Option<Moment>,
}

#[derive(Serialize, Deserialize)]
struct Body {
    name: String,
    by: String,
}

fn bound(device: &[u8], mark: &[u8], added: i64) -> Vec<u8> {
    [b"footrose device 1".as_slice(), device, mark, &added.to_be_bytes()].concat()
}

impl Store {
    /// Every device that may come in now, by what it is known by. Nobody has to be signed in.
    ///
    /// # Errors
    /// The file could not be read.
    pub async fn admitted_devices(&self) -> Result<Vec<(DeviceMark, DeviceId)>, Error> {
        let mut conn = self.inner.conns.readers.acquire().await?;
        let rows =
            sqlx::query("SELECT hash, device FROM device WHERE ended IS NULL").fetch_all(&mut *conn).await?;
        let mut all = Vec::with_capacity(rows.len());
        for row in &rows {
            let mark = <[u8; 32]>::try_from(row.try_get::<&[u8], _>(0)?)
                .map_err(|_| Error::damaged("a device is known by other than 32 bytes"))?;
            all.push((DeviceMark(mark), DeviceId::from_bytes(row.try_get(1)?)?));
        }
        Ok(all)
    }

    /// Writes down that a device was there now.
    ///
    /// # Errors
    /// The disk is full, or the file was closed.
    pub async fn device_seen(&self, device: DeviceId) -> Result<(), Error> {
        let me = self.clone();
        uncancelled(async move {
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            sqlx::query("UPDATE device SET seen = ?2 WHERE device = ?1 AND seen < ?2")
                .bind(device.bytes())
                .bind(me.inner.options.now().in_unix_ms())
                .execute(conn)
                .await?;
            Ok(())
        })
        .await
    }

    /// Writes into the audit that a device was refused. The words are kept while somebody is signed in; without a
    /// key there is nothing to seal them with.
    ///
    /// # Errors
    /// The disk is full, or the file was closed.
    pub async fn device_refused(&self, words: &str) -> Result<(), Error> {
        let (me, words) = (self.clone(), words.to_owned());
        uncancelled(async move {
            let clinic = {
                let vault = me.inner.vault.read().unwrap_or_else(std::sync::PoisonError::into_inner);
                vault.as_ref().map(|vault| vault.clinic.clone())
            };
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let mut change = conn.begin().await?;
            let detail = if clinic.is_some() { Detail::words(words) } else { Detail::default() };
            let entry = NewEntry {
                at: me.inner.options.now(),
                account: AccountId::NOBODY,
                action: Action::DeviceRefused,
                person: PersonId::CLINIC,
                detail: &detail,
            };
            audit::add(&mut change, clinic.as_ref(), entry).await?;
            change.commit().await?;
            Ok(())
        })
        .await
    }
}

impl Session {
    /// Admits a device under a name. What it has to show from now on is given once and stored nowhere.
    ///
    /// # Errors
    /// The role is not clinician, or the name is empty or too long.
    pub async fn admit_device(&self, name: &str) -> Result<(DeviceId, DeviceSecret), Error> {
        let name = name.trim().to_owned();
        let length = name.chars().count();
        if length == 0 || length > LONGEST_NAME {
            return Err(Error::BadDeviceName { name, most: LONGEST_NAME });
        }
        let me = self.clone();
        uncancelled(async move {
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.decides("admit a device")?;
            let now = me.inner.options.now();
            let (device, secret) = (DeviceId::new(now)?, DeviceSecret(random()?));
            let mark = secret.mark();
            let body = Body { name: name.clone(), by: permit.account.to_string() };
            let body = serde_json::to_vec(&body).map_err(|error| Error::damaged(error.to_string()))?;
            let ms = now.in_unix_ms();
            let sealed = permit.clinic.derive("device").seal(&body, &bound(device.bytes(), &mark.0, ms))?;
            let mut change = conn.begin().await?;
            sqlx::query("INSERT INTO device (device, hash, added, seen, sealed) VALUES (?1, ?2, ?3, ?3, ?4)")
                .bind(device.bytes())
                .bind(mark.0.as_slice())
                .bind(ms)
                .bind(sealed)
                .execute(&mut *change)
                .await?;
            note(&mut change, &permit, now, &format!("admitted: {name}")).await?;
            change.commit().await?;
            Ok((device, secret))
        })
        .await
    }

    /// Sends a device away: what it holds is worth nothing from now on. Twice is as once.
    ///
    /// # Errors
    /// The role is not clinician, or there is no such device.
    pub async fn end_device(&self, device: DeviceId) -> Result<(), Error> {
        let me = self.clone();
        uncancelled(async move {
            let known = me.devices().await?.into_iter().find(|one| one.id == device);
            let known = known.ok_or(Error::NoDevice { device })?;
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.decides("send a device away")?;
            let now = me.inner.options.now();
            let mut change = conn.begin().await?;
            let ended = sqlx::query("UPDATE device SET ended = ?2 WHERE device = ?1 AND ended IS NULL")
                .bind(device.bytes())
                .bind(now.in_unix_ms())
                .execute(&mut *change)
                .await?;
            if ended.rows_affected() > 0 {
                note(&mut change, &permit, now, &format!("sent away: {}", known.name)).await?;
            }
            change.commit().await?;
            Ok(())
        })
        .await
    }

    /// Every device that was ever admitted, the newest first.
    ///
    /// # Errors
    /// The session has ended, or a device is not what was written down.
    pub async fn devices(&self) -> Result<Vec<Device>, Error> {
        let key = self.permit()?.clinic.derive("device");
        let mut conn = self.inner.conns.readers.acquire().await?;
        let rows =
            sqlx::query("SELECT device, hash, added, seen, ended, sealed FROM device ORDER BY added DESC")
                .fetch_all(&mut *conn)
                .await?;
        let mut all = Vec::with_capacity(rows.len());
        for row in &rows {
            let id = DeviceId::from_bytes(row.try_get(0)?)?;
            let added: i64 = row.try_get(2)?;
            let plain = key
                .open(row.try_get(5)?, &bound(id.bytes(), row.try_get(1)?, added))
                .ok_or_else(|| Error::damaged(format!("device {id} is not what was written down")))?;
            let body: Body = serde_json::from_slice(&plain)
                .map_err(|error| Error::damaged(format!("device {id} cannot be read: {error}")))?;
            all.push(Device {
                id,
                name: body.name,
                by: body.by.parse()?,
                added: Moment::unix_ms(added),
                seen: Moment::unix_ms(row.try_get(3)?),
                ended: row.try_get::<Option<i64>, _>(4)?.map(Moment::unix_ms),
            });
        }
        Ok(all)
    }

    /// What this session may do, if it is a clinician's.
    fn decides(&self, act: &str) -> Result<Permit, Error> {
        let permit = self.permit()?;
        if permit.role == Role::Clinician { Ok(permit) } else { Err(permit.refuse(act)) }
    }
}

async fn note(
    conn: &mut sqlx::sqlite::SqliteConnection,
    permit: &Permit,
    at: Moment,
    words: &str,
) -> Result<(), Error> {
    let detail = Detail::words(words);
    let (account, action, person) = (permit.account, Action::Device, PersonId::CLINIC);
    audit::add(conn, Some(&permit.clinic), NewEntry { at, account, action, person, detail: &detail }).await?;
    Ok(())
}
