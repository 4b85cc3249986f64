//! The bench page in a real browser: the parts in 3D, and the place of a clash.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use common::copy;
use opened::{Browser, VERDICT, browser, on_a_runtime};
use served::Served;

/// Opens the place of a check, by the words in its title.
async fn show_place(browser: &Browser, title: &str) {
    opened::open_check(browser, title).await;
    browser.press("Show the place, cut open").await;
    browser.until("performance.getEntriesByName('scene shown').length").await;
    // It stands where it belongs from the first picture on.
    browser.until("document.querySelector('.tag.size')?.style.left").await;
}

/// How far the two ends of the dimension are apart on the screen, and the shorter side of the picture, in pixels: by the words
/// beside them, which stand at a known distance from them.
const TAGS: &str = "const box = document.querySelector('.look').getBoundingClientRect();
    return [...document.querySelectorAll('.look .tag')].filter((tag) => !tag.hidden).map((tag) => {
      const { left, right, top, bottom } = tag.getBoundingClientRect();
      return { words: tag.textContent, inside: left >= box.left - 1 && right <= box.right + 1 && top >= box.top - 1 && bottom <= box.bottom + 1, middle: [(left + right) / 2, (top + bottom) / 2] };
    })";

/// How much of the room the picture shows across, in mm, once the camera stands still: two frames that it paints alike.
async fn shown_across(browser: &Browser) -> f64 {
    let across = opened::run_async(
        browser,
        "const look = document.querySelector('.look');
         const painted = () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
         for (let before = null; before !== look.dataset.across || !before; await painted()) before = look.dataset.across;
         return Number(look.dataset.across);",
    )
    .await;
    across.as_f64().expect("a number of mm")
}

/// The clash fills the frame: both parts are named, the gap has its dimension, on a desk and on a phone; and that is taken
/// away again.
#[test]
fn a_clash_fills_the_frame() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("bulkhead", scratch.path());
        let served = Served::of(scratch.path(), &["bulkhead"]);
        for (wide, high) in [(1440, 1000), (390, 844)] {
            let Some(browser) = browser(wide, high, scratch.path()).await else { return };
            browser.client.goto(&served.url).await.unwrap();
            browser.until(&format!("{VERDICT}.includes('clash')")).await;
            for (title, between, size) in [
                ("Cover under the strings", ["cover", "string"], "0.55 mm too little"),
                ("Cover in the rout", ["cover", "rout"], "0.81 mm too little"),
                ("Screw heads in their recesses", ["screw's head", "cover's recess"], "0.27 mm to spare"),
            ] {
                show_place(&browser, title).await;
                let tags = browser.script(TAGS).await;
                let words: Vec<&str> =
                    tags.as_array().unwrap().iter().map(|tag| tag["words"].as_str().unwrap()).collect();
                assert_eq!(words, [between[0], between[1], size], "{title}, {wide} px");
                assert!(tags.as_array().unwrap().iter().all(|tag| tag["inside"] == true), "{tags}");
                // Of a gap under a millimetre no more is shown than what it is between.
                let seen = shown_across(&browser).await;
                assert!(seen < 8.0, "{title}: {seen} mm across");
            }
            browser.press("All of it").await;
            browser
                .until("![...document.querySelectorAll('.look .tag')].some((tag) => tag.offsetParent)")
                .await;
            assert!(shown_across(&browser).await > 40.0);
            browser.close().await;
        }
    });
}

/// The page under the picture can be scrolled over it until it is pressed; parts say what they are when they are touched; and
/// pulled apart all of them stay in sight.
#[test]
fn the_picture_leaves_the_page_alone() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("tidewick", scratch.path());
        let served = Served::of(scratch.path(), &["tidewick"]);
        let Some(browser) = browser(390, 844, scratch.path()).await else { return };
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('fits')")).await;
        browser.tab("Look").await;
        browser.until("performance.getEntriesByName('scene shown').length").await;
        // What one came for is in sight without scrolling.
        let top = browser.script("return document.querySelector('.look').getBoundingClientRect().top").await;
        assert!(top.as_f64().unwrap() < 422.0, "the picture begins at {top}");
        let wheel = "const canvas = document.querySelector('.look canvas');
            const event = new WheelEvent('wheel', { deltaY: 300, cancelable: true, bubbles: true, clientX: 200, clientY: 500 });
            canvas.dispatchEvent(event);
            return [event.defaultPrevented, getComputedStyle(canvas).touchAction]";
        assert_eq!(browser.script(wheel).await, serde_json::json!([false, "pan-y"]));
        browser.script("document.querySelector('.look canvas').focus()").await;
        assert_eq!(browser.script(wheel).await, serde_json::json!([true, "none"]));
        browser.script("document.querySelector('.look canvas').blur(); document.querySelector('.look').scrollIntoView()").await;
        browser
            .script("const of = document.querySelectorAll('.look')[0].parentElement.querySelectorAll('select')[1]; of.value = 'neck'; of.dispatchEvent(new Event('input'))")
            .await;
        let across = shown_across(&browser).await;
        // Touched in the middle of the picture.
        let touch = "const canvas = document.querySelector('.look canvas');
            const box = canvas.getBoundingClientRect();
            for (const type of ['pointerdown', 'pointerup']) {
              canvas.dispatchEvent(new PointerEvent(type, { pointerId: 1, clientX: box.left + box.width / 2, clientY: box.top + box.height / 2, bubbles: true }));
            }";
        browser.script(&format!("HTMLCanvasElement.prototype.setPointerCapture = () => {{}}; {touch}")).await;
        let name = browser
            .until(
                "[...document.querySelectorAll('.look .tag')].find((tag) => tag.offsetParent)?.textContent",
            )
            .await;
        assert!(name.as_str().unwrap().starts_with("neck "), "{name}");
        browser
            .script("const pulled = document.querySelector('input[max=\"1\"]'); pulled.value = 1; pulled.dispatchEvent(new Event('input'))")
            .await;
        assert!(shown_across(&browser).await > across);
        browser.close().await;
    });
}
