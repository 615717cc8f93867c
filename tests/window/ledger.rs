//! The ledger in the window: verified, corrected, keys renewed, backed up, damaged, brought back.

use crate::driver::Bench;
use coldbench::demo;

#[tokio::test(flavor = "multi_thread")]
async fn a_correction_a_new_pin_and_a_way_back() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.unlock("P-1", "2468").await;

    // What was signed is put right; both stay on the screen.
    window.at_walk("R-2", "spine").await;
    window.press("#entries-scale").await;
    window.says("33 mm").await;
    window.press("[aria-label^='Correct: Once round the butt']").await;
    window.write("#correct-says", "34 mm").await;
    window.write("#correct-reason", "the strip had slipped").await;
    window.choose("#correct-person", "P-1").await;
    window.write("#correct-pin", "0000").await;
    window.press("#correct-submit").await;
    window.says("does not open").await;
    window.picture("correct").await;
    window.write("#correct-pin", "2468").await;
    window.press("#correct-submit").await;
    window.gone("#correct-submit").await;
    window.says("Corrected to 34 mm. Reason: the strip had slipped").await;
    window.says("33 mm").await;
    window.picture("corrected").await;

    // The helper forgot the PIN; the lead vouches for a new key.
    window.go("#/crew").await;
    window.press("#renew-P-2").await;
    window.write("#renew-new", "9753").await;
    window.choose("#renew-by", "P-1").await;
    window.write("#renew-pin", "2468").await;
    window.picture("new-pin").await;
    window.press("#renew-submit").await;
    window.gone("#renew-submit").await;
    window.unlock("P-2", "9753").await;

    // Backed up, and then the ledger is damaged behind its back.
    let backups = bench.folder().join("backups");
    window.go("#/ledger").await;
    window.says("were verified when the workshop was opened").await;
    window.write("#backup-folder", backups.to_str().unwrap()).await;
    window.press("#backup-set").await;
    window.says("Backups go to").await;
    window.press("#backup-now").await;
    window.says("Backed up and verified").await;
    window.picture("ledger").await;
    window.kill().await;
    let raw = rusqlite::Connection::open(folder.join("ledger.db")).unwrap();
    raw.execute_batch("DROP TRIGGER event_stays; UPDATE event SET person = 'P-2' WHERE seq = 20")
        .unwrap();
    drop(raw);

    let window = bench.open(&folder).await;
    window.find("#ledger-fault").await;
    window.go("#/ledger").await;
    window.says("Event 20 of").await;
    window.press("#wayback-look").await;
    window.find("#wayback-found").await;
    window.picture("damaged").await;
    window.press("#wayback-bring").await;
    window.press("#wayback-yes").await;
    window.says("The damaged ledger is kept in").await;
    window.press("#wayback-noted").await;
    window.says("were verified when the workshop was opened").await;
    window.unlock("P-2", "9753").await;
    window.kill().await;
}
