use std::fmt::Write as _;
use std::path::{Component, Path};

/// A path as a URI reference with forward slashes: relative for a relative path, `file:///...` for an absolute one.
/// Every byte but the unreserved ones (RFC 3986, section 2.3) is percent-encoded, so a name is never read as a scheme,
/// a query or a fragment.
pub fn of_path(path: &Path) -> String {
    let mut uri = String::new();
    for component in path.components() {
        match component {
            Component::CurDir => {}
            Component::RootDir => uri.push_str(if uri.is_empty() { "file:///" } else { "/" }),
            Component::Prefix(prefix) => {
                // A drive: its colon is part of the form, and the root comes as its own component.
                uri.push_str("file:///");
                uri.push_str(&prefix.as_os_str().to_string_lossy().replace('\\', "/"));
            }
            Component::ParentDir => push_segment(&mut uri, b".."),
            Component::Normal(name) => push_segment(&mut uri, name.as_encoded_bytes()),
        }
    }
    uri
}

fn push_segment(uri: &mut String, name: &[u8]) {
    if !uri.is_empty() && !uri.ends_with('/') {
        uri.push('/');
    }
    for &byte in name {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            // Writing to a String cannot fail.
            let _ = write!(uri, "%{byte:02X}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn relative_paths_stay_relative_and_every_odd_byte_is_encoded() {
        assert_eq!(of_path(Path::new("./north field/pear 100%.spray")), "north%20field/pear%20100%25.spray");
        assert_eq!(of_path(Path::new("../shared/mixes.spray")), "../shared/mixes.spray");
        assert_eq!(of_path(Path::new("vergéle.spray")), "verg%C3%A9le.spray");
    }

    #[test]
    fn a_name_with_a_colon_query_or_fragment_sign_is_no_scheme_query_or_fragment() {
        assert_eq!(of_path(Path::new("http:a?b#c.spray")), "http%3Aa%3Fb%23c.spray");
    }

    #[cfg(unix)]
    #[test]
    fn an_absolute_path_is_a_file_uri() {
        assert_eq!(of_path(Path::new("/orchard/2026 may.spray")), "file:///orchard/2026%20may.spray");
    }

    #[cfg(windows)]
    #[test]
    fn a_path_on_a_drive_is_a_file_uri() {
        assert_eq!(of_path(Path::new(r"C:\orchard\2026 may.spray")), "file:///C:/orchard/2026%20may.spray");
        assert_eq!(of_path(Path::new(r"north\pear.spray")), "north/pear.spray");
    }
}
