//! What a form sent, after its token was found right.

use axum::RequestExt;
use axum::extract::{Form, FromRequest, Request};

use crate::Web;
use crate::browsers::token_of;
use crate::drafts;
use crate::fault::Fault;

/// The fields of a form, in the order they were sent.
#[derive(Clone, Debug, Default)]
pub(crate) struct Fields(Vec<(String, String)>);

#[allow(dead_code, reason = "what forms need is here before the screens that use it")]
impl Fields {
    /// From pairs: a form that is shown for the first time, filled with what is known.
    pub(crate) fn known(pairs: impl IntoIterator<Item = (&'static str, String)>) -> Self {
        Self(pairs.into_iter().map(|(name, value)| (name.to_owned(), value)).collect())
    }

    /// From pairs whose names are made as they are needed.
    pub(crate) fn typed(pairs: Vec<(String, String)>) -> Self {
        Self(pairs)
    }

    /// The first field of this name as it was typed; empty when it is not there.
    pub(crate) fn get(&self, name: &str) -> &str {
        self.0.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value)
    }

    /// Whether the form had a field of this name, empty or not.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(known, _)| known == name)
    }

    /// Every field of this name.
    pub(crate) fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.0.iter().filter(move |(known, _)| known == name).map(|(_, value)| value.as_str())
    }

    /// Every field as it was sent.
    pub(crate) fn into_pairs(self) -> Vec<(String, String)> {
        self.0
    }

    /// Whether a box is ticked.
    pub(crate) fn ticked(&self, name: &str) -> bool {
        !self.get(name).is_empty()
    }

    /// The key of this submission: the same form sent twice has the same.
    pub(crate) fn once(&self) -> &str {
        self.get("once")
    }
}

impl FromRequest<Web> for Fields {
    type Rejection = Fault;

    async fn from_request(request: Request, web: &Web) -> Result<Self, Fault> {
        let token = token_of(request.headers()).map(str::to_owned);
        let Form(pairs): Form<Vec<(String, String)>> = request.extract().await.map_err(|_| {
            Fault::Form("It could not be read. Go back, look at it again, and send it again.")
        })?;
        let fields = Self(pairs);
        let right = token.as_deref().is_some_and(|token| web.browsers.form_is(token, fields.get("form")));
        if right && fields.once().len() >= 16 {
            if !fields.has(drafts::TO) {
                let token = token.unwrap_or_default();
                web.browsers.kept(&token, |kept| fields.once().clone_into(&mut kept.sent));
            }
            Ok(fields)
        } else {
            Err(Fault::Form(
                "It is from before you signed in, or from another window. Go back, open the page again, and \
                 send it again.",
            ))
        }
    }
}
