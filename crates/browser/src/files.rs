//! Files out of and into the page: download, share, open, drop; and the clipboard.

use crate::{Listener, Trouble, js, timer};
use js_sys::{Array, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::spawn_local;
use web_sys::{
    Blob, BlobPropertyBag, DragEvent, File, FileList, FilePropertyBag, HtmlAnchorElement, HtmlInputElement, ShareData,
    Url,
};

/// The most that is read of one file: 64 MiB.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// How long an address handed to a download stays valid; a slow device may ask for it late.
const ADDRESS_KEPT_MS: u32 = 60_000;

/// A file as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileRead {
    /// Its name.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// What became of sharing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shared {
    /// Handed to another program. Whether it arrived is not known.
    Handed,
    /// The person closed the list of programs.
    Cancelled,
}

/// Hands a file to the browser to be put among the downloads.
pub fn download(name: &str, mime: &str, bytes: &[u8]) -> Result<(), Trouble> {
    let not_handed = || Trouble::FileNotHanded { name: name.to_owned() };
    let document = js::window()?.document().ok_or(Trouble::NoPage)?;
    let options = BlobPropertyBag::new();
    options.set_type(mime);
    let parts = Array::of1(&Uint8Array::from(bytes));
    let blob = Blob::new_with_u8_array_sequence_and_options(&parts, &options).map_err(|_| not_handed())?;
    let address = Url::create_object_url_with_blob(&blob).map_err(|_| not_handed())?;
    let link: HtmlAnchorElement =
        document.create_element("a").ok().and_then(|element| element.dyn_into().ok()).ok_or_else(not_handed)?;
    link.set_href(&address);
    link.set_download(name);
    // Outside the page a click does nothing in some browsers.
    let body = document.body().ok_or_else(not_handed)?;
    body.append_child(&link).map_err(|_| not_handed())?;
    link.click();
    link.remove();
    spawn_local(async move {
        timer::sleep_ms(ADDRESS_KEPT_MS).await;
        // It refuses nothing: an address that is gone already is passed over.
        let _refuses_nothing = Url::revoke_object_url(&address);
    });
    Ok(())
}

/// Opens the browser's own print window.
pub fn print() -> Result<(), Trouble> {
    js::window()?.print().map_err(|_| Trouble::NoPage)
}

/// Whether this browser shares files of that kind.
pub fn can_share(name: &str, mime: &str) -> bool {
    let Ok(window) = js::window() else { return false };
    let navigator = window.navigator();
    js::method(&navigator, "canShare").is_some()
        && js::method(&navigator, "share").is_some()
        && share_data(name, mime, b"x", name).is_ok_and(|data| navigator.can_share_with_data(&data))
}

/// Hands a file to another program of the person's choice. Browsers allow it only right after a tap.
pub async fn share(name: &str, mime: &str, bytes: &[u8], title: &str) -> Result<Shared, Trouble> {
    if !can_share(name, mime) {
        return Err(Trouble::ShareAbsent);
    }
    let promise = js::window()?.navigator().share_with_data(&share_data(name, mime, bytes, title)?);
    match js::wait(promise.into()).await {
        Ok(_) => Ok(Shared::Handed),
        Err(thrown) => match js::error_name(&thrown).as_str() {
            "AbortError" => Ok(Shared::Cancelled),
            other => Err(Trouble::ShareFailed { name: other.to_owned() }),
        },
    }
}

fn share_data(name: &str, mime: &str, bytes: &[u8], title: &str) -> Result<ShareData, Trouble> {
    let options = FilePropertyBag::new();
    options.set_type(mime);
    let parts = Array::of1(&Uint8Array::from(bytes));
    let file = File::new_with_u8_array_sequence_and_options(&parts, name, &options)
        .map_err(|_| Trouble::FileNotHanded { name: name.to_owned() })?;
    let data = ShareData::new();
    js::set(&data, "files", &Array::of1(&file));
    data.set_title(title);
    Ok(data)
}

/// Reads a file that a person chose or dropped. Its size is looked at before anything of it is read.
pub async fn read(file: &File) -> Result<FileRead, Trouble> {
    let name = file.name();
    let size_bytes = file.size() as u64;
    if size_bytes > MOST_BYTES {
        return Err(Trouble::FileTooLarge { name, size_bytes, most_bytes: MOST_BYTES });
    }
    match js::wait(file.array_buffer().into()).await {
        Ok(buffer) => Ok(FileRead { name, bytes: Uint8Array::new(&buffer).to_vec() }),
        Err(thrown) => Err(Trouble::FileNotRead { name, message: js::error_message(&thrown) }),
    }
}

/// The files chosen in an input. The input is emptied, so that choosing the same file again is noticed.
pub fn chosen(input: &HtmlInputElement) -> Vec<File> {
    let files = list(input.files());
    input.set_value("");
    files
}

/// The files of a drop.
pub fn dropped(event: &DragEvent) -> Vec<File> {
    list(event.data_transfer().and_then(|data| data.files()))
}

/// Takes files dropped anywhere on the page, for as long as both listeners are held. Without this the browser would
/// leave the page to show the file.
pub fn on_drop(act: impl Fn(Vec<File>) + 'static) -> Result<[Listener; 2], Trouble> {
    let window = js::window()?;
    Ok([
        Listener::new(&window, "dragover", |event| event.prevent_default())?,
        Listener::new(&window, "drop", move |event| {
            event.prevent_default();
            let files = event.dyn_ref::<DragEvent>().map(dropped).unwrap_or_default();
            if !files.is_empty() {
                act(files);
            }
        })?,
    ])
}

fn list(files: Option<FileList>) -> Vec<File> {
    files.map(|files| (0..files.length()).filter_map(|index| files.get(index)).collect()).unwrap_or_default()
}

/// Copies a text to the clipboard.
pub async fn copy_text(text: &str) -> Result<(), Trouble> {
    let clipboard = js::get(&js::window()?.navigator(), "clipboard");
    let asked: Result<JsValue, JsValue> =
        js::call(&clipboard, "writeText", &[text.into()]).ok_or(Trouble::NotCopied)?;
    let promise = asked.map_err(|_| Trouble::NotCopied)?;
    js::wait(promise).await.map(drop).map_err(|_| Trouble::NotCopied)
}
