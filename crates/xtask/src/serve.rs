//! `cargo xtask serve`: build the app and serve it, on this machine only unless told otherwise.

use crate::bundle::{self, Build};
use crate::need;
use crate::run::{Outcome, Trouble};
use crate::site::Site;
use std::net::{IpAddr, SocketAddr, UdpSocket};
use std::path::PathBuf;

#[derive(clap::Args)]
pub struct Options {
    /// Port to listen on; 0 takes any free one.
    #[arg(long, default_value_t = 8080)]
    port: u16,
    /// Let other devices on the local network in. Off by default.
    #[arg(long)]
    local_network: bool,
    /// Compile quickly instead of small.
    #[arg(long)]
    dev: bool,
    /// Serve this bundle as it is, without building.
    #[arg(long, hide = true)]
    built: Option<PathBuf>,
}

/// Builds, serves, and says where.
pub fn run(options: &Options) -> Outcome {
    let folder = match &options.built {
        Some(folder) => folder.clone(),
        None => {
            need::rust()?;
            bundle::site(if options.dev { Build::Dev } else { Build::Phone })?
        }
    };
    let listening = Site::open(&folder)?.listen(options.port, options.local_network)?;
    let port = listening.address.port();
    println!("\nDotside is at http://127.0.0.1:{port}/ (Ctrl+C stops it)");
    if options.local_network {
        let address = on_the_network()?;
        println!("On the local network: http://{}/", SocketAddr::new(address, port));
        println!(
            "Browsers keep offline working, storage locks and signing for https and for this machine itself: \
             on another device this address shows the app, but it will not start there without coverage."
        );
    }
    listening.serve()
}

/// This machine's address on the network it would reach others by. Nothing is sent: the address is one for documentation.
fn on_the_network() -> Outcome<IpAddr> {
    let ask = || {
        let socket = UdpSocket::bind("0.0.0.0:0")?;
        socket.connect("192.0.2.1:9")?;
        Ok(socket.local_addr()?.ip())
    };
    ask().map_err(|why: std::io::Error| {
        Trouble(format!("This machine is on no network ({why}): leave out --local-network."))
    })
}
