//! A real browser that is led by its own protocol.

use std::ffi::OsStr;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use headless_chrome::protocol::cdp::types::Event;
use headless_chrome::protocol::cdp::{Emulation, Network, Runtime};
use headless_chrome::{Browser, LaunchOptions, Tab};

use super::{Live, SOON};
use crate::documents::browser::browser;

/// A window of a browser. Its network is cut off but for this computer.
pub struct Window {
    pub tab: Arc<Tab>,
    /// Every address that was asked for.
    asked: Arc<Mutex<Vec<String>>>,
    /// What scripts failed at, and what the browser forbade.
    wrong: Arc<Mutex<Vec<String>>>,
    _browser: Browser,
}

/// A window, where a browser is installed.
pub fn window() -> Option<Window> {
    let path = browser()?;
    let arguments = [
        "--disable-quic",
        "--disable-component-update",
        // Nothing outside has a name or an address.
        "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
    ];
    let options = LaunchOptions {
        path: Some(path),
        sandbox: false,
        window_size: Some((1200, 800)),
        idle_browser_timeout: Duration::from_secs(300),
        args: arguments.iter().map(OsStr::new).collect(),
        ..LaunchOptions::default()
    };
    let browser = Browser::new(options).unwrap();
    let tab = browser.new_tab().unwrap();
    tab.set_default_timeout(Duration::from_secs(60));
    let (asked, wrong) = (Arc::new(Mutex::new(Vec::new())), Arc::new(Mutex::new(Vec::new())));
    let (asks, faults) = (Arc::clone(&asked), Arc::clone(&wrong));
    tab.add_event_listener(Arc::new(move |event: &Event| match event {
        Event::NetworkRequestWillBeSent(sent) => asks.lock().unwrap().push(sent.params.request.url.clone()),
        Event::RuntimeExceptionThrown(thrown) => faults.lock().unwrap().push(format!("{:?}", thrown.params)),
        Event::LogEntryAdded(entry) => faults.lock().unwrap().push(entry.params.entry.text.clone()),
        _ => {}
    }))
    .unwrap();
    tab.call_method(Network::Enable {
        max_total_buffer_size: None,
        max_resource_buffer_size: None,
        max_post_data_size: None,
        report_direct_socket_traffic: None,
        enable_durable_messages: None,
    })
    .unwrap();
    tab.call_method(Runtime::Enable(None)).unwrap();
    tab.enable_log().unwrap();
    tab.call_method(Emulation::SetFocusEmulationEnabled { enabled: true }).unwrap();
    Some(Window { tab, asked, wrong, _browser: browser })
}

impl Window {
    pub fn open(&self, live: &Live, path: &str) {
        self.tab.navigate_to(&live.url(path)).unwrap().wait_until_navigated().unwrap();
    }

    /// What an expression says, as text.
    pub fn say(&self, expression: &str) -> String {
        let said = self.tab.evaluate(&format!("Promise.resolve({expression}).then(String)"), true).unwrap();
        said.value.and_then(|value| value.as_str().map(str::to_owned)).unwrap_or_else(|| panic!("{expression}"))
    }

    pub fn is(&self, expression: &str) -> bool {
        self.say(expression) == "true"
    }

    /// Waits until an expression holds.
    pub fn until(&self, expression: &str) {
        let start = Instant::now();
        while !self.is(expression) {
            assert!(start.elapsed() < SOON, "{expression} never holds on\n{}", self.say("document.body.innerText"));
            std::thread::sleep(Duration::from_millis(30));
        }
    }

    pub fn press(&self, key: &str) {
        self.tab.press_key(key).unwrap();
    }

    /// Shows pages in a scheme of colours (`light`, `dark`) and as on a screen or on paper.
    pub fn shown_as(&self, media: &str, scheme: &str) {
        let feature = Emulation::MediaFeature { name: "prefers-color-scheme".into(), value: scheme.into() };
        let media = Emulation::SetEmulatedMedia { media: Some(media.into()), features: Some(vec![feature]) };
        self.tab.call_method(media).unwrap();
    }

    pub fn wide(&self, width: u32) {
        let screen = Emulation::SetDeviceMetricsOverride {
            width,
            height: 800,
            device_scale_factor: 1.0,
            mobile: width < 600,
            scale: None,
            screen_width: None,
            screen_height: None,
            position_x: None,
            position_y: None,
            dont_set_visible_size: None,
            screen_orientation: None,
            viewport: None,
            display_feature: None,
            device_posture: None,
            scrollbar_type: None,
            screen_orientation_lock_emulation: None,
        };
        self.tab.call_method(screen).unwrap();
    }

    /// Nothing but this server was asked, and nothing failed.
    pub fn kept_to(&self, live: &Live) {
        let asked = self.asked.lock().unwrap();
        assert!(!asked.is_empty());
        for address in asked.iter() {
            assert!(address.starts_with(&live.url("/")) || address == "data:,", "{address} was asked for");
        }
        let wrong = self.wrong.lock().unwrap();
        assert!(wrong.is_empty(), "{wrong:?}");
    }
}
