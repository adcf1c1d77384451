//! What a page of ours may load and run: the content-security policies.

use std::sync::OnceLock;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// Of the page. A brief that it shows in a frame is a blob of its own and inherits this
/// policy, hence the brief's style sheet by its hash and fonts written into it.
pub fn page() -> &'static str {
    static POLICY: OnceLock<String> = OnceLock::new();
    POLICY.get_or_init(|| {
        format!(
            "default-src 'none'; script-src 'self'; style-src 'self' {}; \
             img-src 'self' data: blob:; connect-src 'self'; font-src 'self' data:; \
             frame-src 'self' blob:; manifest-src 'self'; base-uri 'none'; \
             form-action 'self'; frame-ancestors 'self'",
            brief_style()
        )
    })
}

/// Of a brief that is opened by itself: its own style sheet and fonts, nothing else.
pub fn brief() -> &'static str {
    static POLICY: OnceLock<String> = OnceLock::new();
    POLICY.get_or_init(|| {
        format!(
            "default-src 'none'; style-src {}; font-src data:; img-src data:; \
             base-uri 'none'; form-action 'none'; frame-ancestors 'self'; sandbox allow-modals",
            brief_style()
        )
    })
}

/// The brief's style sheet, by its hash.
fn brief_style() -> String {
    let hash = Sha256::digest(steadypull_brief::style().as_bytes());
    format!("'sha256-{}'", STANDARD.encode(hash))
}
