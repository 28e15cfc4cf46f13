//! The schema of result.json is checked in; a change must be seen.

#[test]
fn pinned_schema_of_result_json_is_checked_in() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/result.schema.json");
    let now = washgraph_cli::result_schema();
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::write(path, &now).unwrap();
    }
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        kept == now,
        "result.json has another layout: run UPDATE_SCHEMA=1 cargo test -p washgraph-cli and look at the difference"
    );
}
