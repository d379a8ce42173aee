//! Messages between the tabs of this program on this device.

use crate::{Listener, Trouble, js};
use serde::{Deserialize, Serialize};
use wasm_bindgen::JsCast;
use web_sys::{BroadcastChannel, MessageEvent};

const NAME: &str = "dotside";

/// What one tab tells the others.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Message {
    /// A job was saved: whoever shows it should load it again.
    JobChanged {
        /// The job.
        job: String,
        /// Its revision now.
        revision: u64,
    },
    /// The choices of this device changed.
    SettingsChanged,
}

/// Speaks to the other tabs, and hears them, until it is dropped.
#[derive(Debug)]
pub struct Channel {
    channel: BroadcastChannel,
    _heard: Listener,
}

impl Channel {
    /// Joins the tabs. What another version says and this one does not understand is passed over.
    pub fn open(on_message: impl Fn(Message) + 'static) -> Result<Self, Trouble> {
        if js::method(&js_sys::global(), "BroadcastChannel").is_none() {
            return Err(Trouble::ChannelAbsent);
        }
        let channel = BroadcastChannel::new(NAME).map_err(|_| Trouble::ChannelAbsent)?;
        let heard = Listener::new(&channel, "message", move |event| {
            let text = event.dyn_ref::<MessageEvent>().and_then(|event| event.data().as_string());
            if let Some(Ok(message)) = text.as_deref().map(serde_json::from_str) {
                on_message(message);
            }
        })?;
        Ok(Self { channel, _heard: heard })
    }

    /// Tells the other tabs; this one does not hear itself.
    pub fn send(&self, message: &Message) -> Result<(), Trouble> {
        let failed = |message| Trouble::ChannelFailed { message };
        let text = serde_json::to_string(message).map_err(|error| failed(error.to_string()))?;
        self.channel.post_message(&text.into()).map_err(|thrown| failed(js::error_message(&thrown)))
    }
}

impl Drop for Channel {
    fn drop(&mut self) {
        self.channel.close();
    }
}
