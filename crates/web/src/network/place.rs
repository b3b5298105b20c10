//! Where on the clinic's own network the workbench can be reached, and under which names.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, ToSocketAddrs, UdpSocket};

use crate::ServeError;

/// The port when none is named; tablets remember it.
const PORT: u16 = 8751;

/// Names that can only be of a network of one's own: RFC 6762, RFC 8375, the name that was set aside for private
/// use in 2024, and one that many routers give (common practice).
pub(super) const PRIVATE_NAMES: [&str; 4] = ["local", "home.arpa", "internal", "lan"];

/// Networks that do not reach beyond the clinic, with their prefix: RFC 1918, RFC 3927, RFC 4193, RFC 4291, and
/// this machine itself.
pub(super) const PRIVATE_NETWORKS: [(&str, u8); 8] = [
    ("10.0.0.0", 8),
    ("172.16.0.0", 12),
    ("192.168.0.0", 16),
    ("169.254.0.0", 16),
    ("127.0.0.0", 8),
    ("fc00::", 7),
    ("fe80::", 10),
    ("::1", 128),
];

/// What was asked for: which address, and which names beside it.
#[derive(Clone, Debug, Default)]
pub struct NetworkOptions {
    /// `HOST:PORT` or `HOST`; the address of this machine on its network when none is given.
    pub address: Option<String>,
    /// Names under which this machine is known on the network.
    pub names: Vec<String>,
}

impl NetworkOptions {
    /// Whether this can be served from here, as far as that is known before it is tried.
    ///
    /// # Errors
    /// The address or a name is not of a network of one's own.
    pub fn check(&self) -> Result<(), ServeError> {
        Place::of(self).map(drop).map_err(ServeError::Network)
    }
}

/// Where the workbench is bound, and what else it may be called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) at: SocketAddr,
    pub(super) names: Vec<String>,
}

impl Place {
    /// Looks at what was asked for.
    ///
    /// # Errors
    /// What was given, what is accepted, and what to do, in one sentence.
    pub(super) fn of(options: &NetworkOptions) -> Result<Self, String> {
        let mut names = options.names.iter().map(|name| check_name(name)).collect::<Result<Vec<_>, _>>()?;
        let at = match options.address.as_deref() {
            None => SocketAddr::new(own_address()?, PORT),
            Some(given) => match read_address(given)? {
                Given::Address(at) => at,
                Given::Name(name, port) => {
                    let name = check_name(&name)?;
                    let at = look_up(&name, port)?;
                    if !names.contains(&name) {
                        names.push(name);
                    }
                    at
                }
            },
        };
        check_address(at.ip())?;
        Ok(Self { at, names })
    }

    /// The hosts that a certificate is for: the address and the names.
    pub(super) fn hosts(&self) -> Vec<String> {
        std::iter::once(self.at.ip().to_string()).chain(self.names.iter().cloned()).collect()
    }

    /// What a request may call this server.
    pub(super) fn called(&self) -> Vec<String> {
        let port = self.at.port();
        let ip = match self.at.ip() {
            IpAddr::V4(ip) => ip.to_string(),
            IpAddr::V6(ip) => format!("[{ip}]"),
        };
        let hosts = std::iter::once(ip).chain(self.names.iter().cloned());
        // A browser leaves the usual port of https out.
        let spelled = |host: String| {
            if port == 443 { vec![format!("{host}:{port}"), host] } else { vec![format!("{host}:{port}")] }
        };
        hosts.flat_map(spelled).collect()
    }
}

enum Given {
    Address(SocketAddr),
    Name(String, u16),
}

fn read_address(given: &str) -> Result<Given, String> {
    if let Ok(at) = given.parse::<SocketAddr>() {
        return Ok(Given::Address(at));
    }
    if let Ok(ip) = given.trim_matches(['[', ']']).parse::<IpAddr>() {
        return Ok(Given::Address(SocketAddr::new(ip, PORT)));
    }
    match given.rsplit_once(':') {
        None => Ok(Given::Name(given.to_owned(), PORT)),
        Some((host, port)) => match port.parse() {
            Ok(port) => Ok(Given::Name(host.to_owned(), port)),
            Err(_) => Err(format!(
                "`{given}` has no port that can be; accepted: HOST:PORT with a port from 0 to 65535, such as 192.168.1.20:{PORT}; type it again"
            )),
        },
    }
}

fn look_up(name: &str, port: u16) -> Result<SocketAddr, String> {
    let found = (name, port).to_socket_addrs().map(|all| all.collect::<Vec<_>>()).unwrap_or_default();
    let own = |at: &&SocketAddr| at.is_ipv4() && is_private(at.ip());
    found.iter().find(own).or(found.first()).copied().ok_or_else(|| {
        format!("`{name}` leads to no address on this network; name the address itself, such as 192.168.1.20:{port}")
    })
}

/// The address of this machine on its network. No packet is sent: the system is only asked which address it
/// would use to leave by (the far end is of a range set aside for examples, RFC 5737).
fn own_address() -> Result<IpAddr, String> {
    let nowhere =
        "this machine is in no network now; plug it in, or name its address with --address HOST:PORT";
    let found = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).and_then(|socket| {
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9))?;
        socket.local_addr()
    });
    match found {
        Ok(at) if !at.ip().is_unspecified() && !at.ip().is_loopback() => Ok(at.ip()),
        _ => Err(nowhere.to_owned()),
    }
}

/// Whether an address belongs to a network that does not reach beyond the clinic.
fn is_private(ip: IpAddr) -> bool {
    match ip {
        IpAddr::V4(ip) => ip.is_private() || ip.is_link_local() || ip.is_loopback(),
        IpAddr::V6(ip) => ip.is_unique_local() || ip.is_unicast_link_local() || ip.is_loopback(),
    }
}

fn check_address(ip: IpAddr) -> Result<(), String> {
    if ip.is_unspecified() {
        return Err(format!(
            "`{ip}` means every network this machine is in, one for guests too; name the one address it has on \
             the clinic's own network, such as 192.168.1.20:{PORT}"
        ));
    }
    if is_private(ip) {
        return Ok(());
    }
    Err(format!(
        "`{ip}` is an address of the open internet; accepted: addresses of a network of one's own (10…, 172.16… \
         to 172.31…, 192.168…, 169.254…, fc…, fd…, fe80…); put this machine behind the clinic's router"
    ))
}

fn check_name(given: &str) -> Result<String, String> {
    let name = given.trim().trim_end_matches('.').to_ascii_lowercase();
    let label = |part: &str| {
        (1..=63).contains(&part.len())
            && part.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
            && !part.starts_with('-')
            && !part.ends_with('-')
    };
    let ends =
        PRIVATE_NAMES.iter().any(|end| name.strip_suffix(end).is_some_and(|front| front.ends_with('.')));
    if ends && name.len() <= 253 && name.split('.').all(label) {
        return Ok(name);
    }
    Err(format!(
        "`{given}` cannot be a name of this machine; accepted: letters, digits and hyphens, ending with .{}, because \
         its certificate vouches for names of a network of one's own only; such as reception.local",
        PRIVATE_NAMES.join(", .")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(address: &str, names: &[&str]) -> Result<Place, String> {
        let names = names.iter().map(|name| (*name).to_owned()).collect();
        Place::of(&NetworkOptions { address: Some(address.to_owned()), names })
    }

    #[test]
    fn an_address_of_a_network_of_ones_own_is_taken_with_its_names() {
        let place = of("192.168.1.20:9000", &["Reception.local"]).expect("a place");
        assert_eq!(place.hosts(), ["192.168.1.20", "reception.local"]);
        assert_eq!(place.called(), ["192.168.1.20:9000", "reception.local:9000"]);
        assert_eq!(of("10.1.2.3", &[]).expect("a place").called(), ["10.1.2.3:8751"]);
        assert_eq!(of("[fd00::5]:443", &[]).expect("a place").called(), ["[fd00::5]:443", "[fd00::5]"]);
    }

    #[test]
    fn what_would_open_the_workbench_to_others_is_refused_with_what_to_do() {
        for (address, names, expected) in [
            ("0.0.0.0:8751", vec![], "one for guests too; name the one address"),
            ("[::]:8751", vec![], "one for guests too"),
            ("203.0.113.5:8751", vec![], "an address of the open internet"),
            ("2001:db8::1", vec![], "an address of the open internet"),
            ("192.168.1.20:99999", vec![], "no port that can be"),
            ("clinic.example:8751", vec![], "vouches for names of a network of one's own only"),
            ("192.168.1.20", vec!["bank.example"], "vouches for names of a network of one's own only"),
            ("192.168.1.20", vec!["local"], "such as reception.local"),
            ("192.168.1.20", vec!["two words.local"], "letters, digits and hyphens"),
        ] {
            let said = of(address, &names).expect_err(address);
            assert!(said.contains(expected), "{address}: {said}");
        }
    }
}
