//! Rule figures against the printed examples of their documents.
