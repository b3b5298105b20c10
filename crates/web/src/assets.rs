//! Style, modules and typeface, built into the binary: nothing is fetched from anywhere.

use axum::Router;
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::get;

macro_rules! file {
    ($router:ident, $path:literal, $from:literal, $type:literal) => {
        let $router = $router.route(
            concat!("/assets/", $path),
            get(|| async {
                const BYTES: &[u8] = include_bytes!(concat!("../../../assets/", $from));
                // Not personal, and the same as long as the program runs.
                ([(header::CONTENT_TYPE, $type), (header::CACHE_CONTROL, "max-age=60")], BYTES)
                    .into_response()
            }),
        );
    };
}

pub(crate) fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    let router = Router::new();
    file!(router, "footrose.css", "web/footrose.css", "text/css; charset=utf-8");
    file!(router, "footrose.js", "web/footrose.js", "text/javascript; charset=utf-8");
    file!(router, "drafts.js", "web/drafts.js", "text/javascript; charset=utf-8");
    file!(router, "trials.js", "web/trials.js", "text/javascript; charset=utf-8");
    file!(router, "builder.js", "web/builder.js", "text/javascript; charset=utf-8");
    file!(router, "teach.js", "web/teach.js", "text/javascript; charset=utf-8");
    file!(router, "space.js", "web/space.js", "text/javascript; charset=utf-8");
    file!(router, "came-home.js", "web/came-home.js", "text/javascript; charset=utf-8");
    file!(router, "camera-code.js", "web/camera-code.js", "text/javascript; charset=utf-8");
    file!(router, "zxing/reader.js", "web/zxing/reader.js", "text/javascript; charset=utf-8");
    file!(router, "zxing/share.js", "web/zxing/share.js", "text/javascript; charset=utf-8");
    file!(router, "zxing/zxing_reader.wasm", "web/zxing/zxing_reader.wasm", "application/wasm");
    file!(router, "practice/code.js", "practice/code.js", "text/javascript; charset=utf-8");
    file!(router, "practice/qr.js", "practice/qr.js", "text/javascript; charset=utf-8");
    file!(router, "symbol.js", "web/symbol.js", "text/javascript; charset=utf-8");
    file!(router, "next-step.js", "web/next-step.js", "text/javascript; charset=utf-8");
    file!(router, "paper-grid.js", "web/paper-grid.js", "text/javascript; charset=utf-8");
    file!(router, "findings.js", "web/findings.js", "text/javascript; charset=utf-8");
    file!(router, "icon.svg", "web/icon.svg", "image/svg+xml");
    file!(router, "regular.ttf", "fonts/AtkinsonHyperlegibleNext_400Regular.ttf", "font/ttf");
    file!(router, "bold.ttf", "fonts/AtkinsonHyperlegibleNext_700Bold.ttf", "font/ttf");
    router
}
