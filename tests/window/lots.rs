//! Lots in the window: registered, traced to their rods, used up.

use crate::driver::Bench;
use coldbench::demo;

#[tokio::test(flavor = "multi_thread")]
async fn a_lot_is_registered_traced_and_used_up() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.unlock("P-1", "2468").await;
    window.go("#/lots").await;
    window.find("#lot-row-L-1").await;
    window.says("Light spinning rod for the harbour wall").await;
    window.write("#lot-what", "Thread finish").await;
    window.write("#lot-marking", "F-9").await;
    window.write("#lot-expires", "soon").await;
    window.press("#lot-register").await;
    window.says("is no day").await;
    window.write("#lot-expires", "2020-01").await;
    window.press("#lot-register").await;
    window.find("#lot-row-L-4[data-expired='true']").await;
    window.picture("lots").await;
    window.press("#lot-gone-L-4").await;
    window.press("#lot-gone-yes-L-4").await;
    window.gone("#lots #lot-row-L-4").await;
    // In the walk, what is at hand is offered.
    window.at_walk("R-1", "reel-seat").await;
    window.kill().await;
}
