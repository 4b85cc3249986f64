//! `bobbinwright bench`.

use std::net::{IpAddr, SocketAddr, TcpListener, UdpSocket};
use std::path::Path;

use bobbinwright_page::Shelf;
use bobbinwright_serve::{Once, Secret, Serving, serve};
use bobbinwright_spec::{FAMILY_FILE, Folder};
use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;

use crate::outcome::Outcome;
use crate::{address, arguments, complain, say};

/// Serves the page until it is stopped.
pub(crate) fn run(options: &arguments::Bench) -> Outcome {
    let shelf = match &options.family {
        Some(folder) if !folder.join(FAMILY_FILE).is_file() => {
            let message = format!(
                "{} has no {FAMILY_FILE}: name a family's folder, or start one with bobbinwright new {0}",
                folder.display()
            );
            return complain::failure(&message, false);
        }
        Some(folder) => Shelf::one(Folder::on_disk(folder), options.out.clone()),
        None => Shelf::all(Folder::on_disk("."), options.out.clone()),
    };
    let lan = match options.lan.then(own_address) {
        Some(None) => return complain::failure("this machine is in no network", false),
        address => address.flatten(),
    };
    let kept = address::kept();
    // What pages keep is kept by the port too: it stays.
    let secret = kept.as_ref().filter(|_| !options.new_address).map(|kept| kept.secret.clone());
    let secret = match secret.map_or_else(Secret::new, Ok) {
        Ok(secret) => secret,
        Err(e) => return complain::failure(&e.to_string(), false),
    };
    let port = if options.port == 0 { kept.as_ref().map_or(0, |kept| kept.port) } else { options.port };
    // While another one serves at the usual port, this one takes a free one and leaves the usual one alone.
    let is_taken = options.port == 0 && port != 0 && TcpListener::bind(("127.0.0.1", port)).is_err();
    let port = if is_taken { 0 } else { port };
    // Others on this machine see with what a browser is started.
    let once = if options.quiet { None } else { Once::new().ok() };
    let way_in = once.as_ref().map(Once::path);
    let serving = Serving { shelf, port, lan, secret: secret.clone(), once };
    let done = serve(serving, |addresses| {
        // A port that was asked for is for this time.
        if !is_taken && options.port == 0 {
            address::keep(&secret, addresses[0].port());
        }
        tell(addresses, &secret, options.family.as_deref());
        let Some(way_in) = way_in else { return };
        if open::that_detached(format!("http://{}{way_in}", addresses[0])).is_err() {
            say::line("No browser could be opened: copy the address into one.");
        }
    });
    match done {
        Ok(()) => Outcome::Fine,
        Err(e) => complain::failure(&format!("the page can't be served: {e}"), false),
    }
}

/// Where the page is, and who can open it.
fn tell(addresses: &[SocketAddr], secret: &Secret, family: Option<&Path>) {
    let urls: Vec<String> = addresses.iter().map(|a| format!("http://{a}/{}/", secret.word())).collect();
    let what = family.map_or("The bench page".to_owned(), |f| format!("The bench page of {}", f.display()));
    say::line(format_args!("{what}: {}", urls[0]));
    let reach = if urls.len() > 1 { "" } else { "Only this machine can open it. " };
    say::line(format_args!("{reach}Stop it with Ctrl-C; everything entered is already in the files."));
    if let Some(shared) = urls.get(1) {
        say::line(format_args!("\nIn your network: {shared}"));
        if let Ok(code) = QrCode::new(shared.as_bytes()) {
            say::text(code.render::<Dense1x2>().quiet_zone(true).build() + "\n");
        }
        say::line(
            "Whoever has this address, and is in the same network, can read and change the family as you can; it is \
             not encrypted. Share it only in a network that you trust; the next time it is \
             the same, unless --new-address makes it another one.",
        );
    }
}

/// The address that this machine has in its network. Nothing is sent: choosing a way to somewhere is enough, and the
/// place named is one that documentation may use (RFC 5737).
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind("0.0.0.0:0").ok()?;
    socket.connect("192.0.2.1:9").ok()?;
    let address = socket.local_addr().ok()?.ip();
    (!address.is_unspecified() && !address.is_loopback()).then_some(address)
}
