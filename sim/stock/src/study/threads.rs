//! The threads that jobs are shared among. The answer does not hang on their number.

/// Why threads could not be started.
#[derive(Debug, thiserror::Error)]
#[error("the threads could not be started: {0}")]
pub struct ThreadsError(#[from] rayon::ThreadPoolBuildError);

/// Does work whose jobs are shared among so many threads; as many as there are processors where not given.
///
/// # Errors
/// The system refuses to start them.
pub fn on_threads<T: Send>(
    threads: Option<usize>,
    work: impl FnOnce() -> T + Send,
) -> Result<T, ThreadsError> {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads.unwrap_or(0))
        .build()?;
    Ok(pool.install(work))
}
