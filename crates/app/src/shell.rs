//! The frame of every screen: top bar, content, the large act, the places.

use crate::drawing::{Node, button, classed, div, link, live, p, tag};
use crate::route::Route;
use crate::services::Services;

/// What stands around a screen.
pub struct Shell {
    services: Services,
    title: Node,
    sub: Option<Node>,
    back: Option<Route>,
    place: Option<Route>,
    foot: Option<Node>,
    callout: bool,
}

impl Shell {
    /// Around a screen of this title.
    pub fn new(services: Services, title: impl Into<Node>) -> Shell {
        Shell { services, title: title.into(), sub: None, back: None, place: None, foot: None, callout: false }
    }

    /// Around a screen of the job at hand.
    pub fn of_job(services: Services) -> Shell {
        Shell::new(services, live(move || services.with_job(|job| job.site()).unwrap_or_default()))
    }

    /// A second, smaller line.
    pub fn sub(mut self, sub: impl Into<Node>) -> Shell {
        self.sub = Some(sub.into());
        self
    }

    /// Where “back” leads; none on a place of its own.
    pub fn back(mut self, back: Route) -> Shell {
        self.back = Some(back);
        self
    }

    /// Which of the places this is, for the bar of places; inside a job there is none.
    pub fn place(mut self, place: Route) -> Shell {
        self.place = Some(place);
        self
    }

    /// What stands in thumb’s reach.
    pub fn foot(mut self, foot: impl Into<Node>) -> Shell {
        self.foot = Some(foot.into());
        self
    }

    /// In very large type, for a helper who reads it out.
    pub fn callout(mut self) -> Shell {
        self.callout = true;
        self
    }

    /// The screen with what is in it.
    pub fn around(self, body: Vec<Node>) -> Node {
        let services = self.services;
        let mut title = classed("H1", "shell__title").id("title").set("tabindex", "-1").put(self.title);
        title = title.put(self.sub.map(|sub| classed("SPAN", "shell__sub").put(sub)));
        let mut top = classed("HEADER", "shell__top");
        top = match self.back {
            None => top.put(crate::picture::mark()),
            Some(back) => {
                let arrow = tag("SPAN").set("aria-hidden", "true").put("←");
                top.put(link("shell__back", &back.href()).set("aria-label", words::back()).put(arrow))
            }
        };
        let state = classed("SPAN", "shell__state");
        top = top.put(title).put(state.live(move || if services.is_online() { "" } else { words::offline() }));
        div(if self.callout { "shell shell--callout" } else { "shell" })
            .put(link("skip", "#main").on("click", skip).put(words::skip()))
            .put(top)
            .put(update_band(services))
            .put(classed("MAIN", "shell__body").id("main").set("tabindex", "-1").put(body))
            .put(self.foot.map(|foot| classed("FOOTER", "shell__foot").put(foot)))
            .put(self.place.map(places))
            .into()
    }
}

/// The skip link may not touch the address, which names the place.
fn skip(event: web_sys::Event) {
    event.prevent_default();
    browser::focus::focus("main");
}

fn update_band(services: Services) -> Node {
    live(move || {
        services.update_is_ready().then(|| {
            let take = button("key", move || services.use_update()).put(words::update_use());
            p("band band--update").put(words::update_ready()).put(take)
        })
    })
}

fn places(place: Route) -> Node {
    let links =
        [(Route::Jobs, words::jobs()), (Route::Calculator, words::calculator()), (Route::Phone, words::phone())];
    let mut bar = classed("NAV", "nav").set("aria-label", words::main_places());
    for (to, name) in links {
        let here = (to == place).then_some("page");
        bar = bar.put(link("nav__place", &to.href()).set_some("aria-current", here).put(name));
    }
    bar.into()
}
