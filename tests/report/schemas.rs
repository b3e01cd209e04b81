use serde_json::Value;

/// A validator that knows this schema alone: what it does not hold it cannot fetch, and formats are checked.
pub fn validator(schema: &str) -> jsonschema::Validator {
    let schema: Value = serde_json::from_str(schema).expect("the schema is JSON");
    jsonschema::options().should_validate_formats(true).build(&schema).expect("the schema is a schema")
}

/// Fails with every complaint and its place.
pub fn assert_valid(validator: &jsonschema::Validator, document: &Value) {
    let complaints: Vec<_> =
        validator.iter_errors(document).map(|error| format!("{}: {error}", error.instance_path())).collect();
    assert!(complaints.is_empty(), "{complaints:#?}");
}

/// The document with the value at a JSON pointer replaced; the pointer must exist.
pub fn with(document: &Value, pointer: &str, value: Value) -> Value {
    let mut broken = document.clone();
    *broken.pointer_mut(pointer).unwrap_or_else(|| panic!("nothing at {pointer}")) = value;
    broken
}

/// The document without one member of the object at a JSON pointer; the member must exist.
pub fn without(document: &Value, pointer: &str, member: &str) -> Value {
    let mut broken = document.clone();
    let object = broken.pointer_mut(pointer).and_then(Value::as_object_mut).expect("an object is there");
    object.remove(member).unwrap_or_else(|| panic!("no {member} at {pointer}"));
    broken
}
