//! Finding what a person names: a vessel, door, bank, diver by its name, by the beginning of its name, or by nothing at
//! all, with the nearest name where there is none.

use deepstay_read::nearest;

/// Why no thing was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotFound {
    /// Nothing is called so; the nearest name, where one is near.
    Nothing(Option<String>),
    /// Several begin so.
    Several(Vec<String>),
}

/// Finds the name that words begin with: the longest name written out, or the one that a first word is the beginning
/// of. Gives its place in the list and how many words it took.
///
/// # Errors
/// [`NotFound`] where there is none, or more than one.
pub fn find(words: &[&str], names: &[String]) -> Result<(usize, usize), NotFound> {
    let plain = |text: &str| text.to_lowercase();
    let whole = names.iter().enumerate().filter_map(|(k, name)| {
        let own: Vec<String> = name.split_whitespace().map(plain).collect();
        let said = words.iter().map(|w| plain(w)).take(own.len());
        (!own.is_empty() && said.eq(own.iter().cloned())).then_some((k, own.len()))
    });
    if let Some(found) = whole.max_by_key(|(_, len)| *len) {
        return Ok(found);
    }
    let Some(first) = words.first().map(|w| plain(w)) else {
        return Err(NotFound::Nothing(None));
    };
    let begins: Vec<usize> = (0..names.len())
        .filter(|k| plain(&names[*k]).starts_with(&first))
        .collect();
    match begins[..] {
        [k] => Ok((k, 1)),
        [] => {
            let near = nearest(&first, names.iter().map(String::as_str));
            Err(NotFound::Nothing(near.map(str::to_owned)))
        }
        _ => Err(NotFound::Several(
            begins.into_iter().map(|k| names[k].clone()).collect(),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names() -> Vec<String> {
        ["Living", "Living 2", "Transfer", "Transfer to trunk", "M-1"]
            .map(String::from)
            .into()
    }

    #[test]
    fn the_longest_name_written_out_is_taken() {
        let names = names();
        assert_eq!(find(&["living", "2", "10"], &names), Ok((1, 2)));
        assert_eq!(find(&["LIVING", "10"], &names), Ok((0, 1)));
        assert_eq!(
            find(&["transfer", "to", "trunk", "half"], &names),
            Ok((3, 3))
        );
        assert_eq!(find(&["m", "10"], &names), Ok((4, 1)));
    }

    #[test]
    fn what_is_not_there_has_a_nearest_name_and_several_are_told() {
        let names = names();
        let near = NotFound::Nothing(Some("Living".into()));
        assert_eq!(find(&["livign"], &names), Err(near));
        let several = NotFound::Several(vec!["Transfer".into(), "Transfer to trunk".into()]);
        assert_eq!(find(&["tr"], &names), Err(several));
        assert_eq!(find(&[], &names), Err(NotFound::Nothing(None)));
    }
}
