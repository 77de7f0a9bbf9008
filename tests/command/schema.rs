//! `deepstay schema`.

use super::{folder, run};

#[test]
fn prints_a_json_schema() {
    let f = folder();
    for kind in [
        "job", "spread", "rules", "site", "crew", "stock", "plan", "faults",
    ] {
        let (code, out, _) = run(&f, &["schema", kind]);
        assert_eq!(code, 0);
        let schema: serde_json::Value = serde_json::from_str(&out).expect("JSON");
        assert!(schema["properties"]["format"].is_object(), "{kind}");
        assert!(schema["$schema"].is_string());
    }
    assert_eq!(run(&f, &["schema"]).1, run(&f, &["schema", "job"]).1);
}
