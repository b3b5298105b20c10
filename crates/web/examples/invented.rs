//! The workbench over the invented clinic without the typesetter: builds in a moment, for looking at screens.
//!
//! `cargo run -p web --no-default-features --example invented -- 8750`

use std::sync::Arc;

use clinic::{Clinic, DEMO_NAME, DEMO_PASSPHRASE};
use web::{ServeOptions, serve};

#[tokio::main]
async fn main() -> Result<(), Box<dyn std::error::Error>> {
    let port = std::env::args().nth(1).and_then(|port| port.parse().ok()).unwrap_or(0);
    let clinic = Clinic::demo(Arc::new(|| jiff::ZonedDateTime::now().date())).await?;
    let served = serve(ServeOptions { clinic, port, network: None }).await?;
    println!("Sign in as {DEMO_NAME} with the passphrase: {DEMO_PASSPHRASE}\nOpen {}", served.address());
    served
        .run(async {
            let _ = tokio::signal::ctrl_c().await;
        })
        .await?;
    Ok(())
}
