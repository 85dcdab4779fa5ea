//! Work on a thread of its own: it tells what it has as it goes, and can be stopped. The window never waits for it.

use egui::Context;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};

/// Work that runs. Dropping it stops the work.
pub struct Worker<T> {
    receive: Receiver<T>,
    stop: Arc<AtomicBool>,
    over: bool,
}

/// The worker's end: where it tells what it has, and asks whether it should go on.
pub struct Line<T> {
    send: Sender<T>,
    stop: Arc<AtomicBool>,
    ctx: Context,
}

impl<T> Line<T> {
    /// Tells the window, and wakes it. False where nobody wants to know any more.
    pub fn tell(&self, what: T) -> bool {
        let heard = self.go_on() && self.send.send(what).is_ok();
        if heard {
            self.ctx.request_repaint();
        }
        heard
    }

    /// False once the work was stopped.
    #[must_use]
    pub fn go_on(&self) -> bool {
        !self.stop.load(Ordering::Relaxed)
    }
}

impl<T> Drop for Line<T> {
    fn drop(&mut self) {
        // That the work is over is news as well.
        self.ctx.request_repaint();
    }
}

impl<T: Send + 'static> Worker<T> {
    /// Starts work on a thread of this name. Where no thread can be made the worker is over at once, with nothing told.
    pub fn start(name: &str, ctx: &Context, work: impl FnOnce(&Line<T>) + Send + 'static) -> Self {
        let (send, receive) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let line = Line { send, stop: Arc::clone(&stop), ctx: ctx.clone() };
        let thread = std::thread::Builder::new().name(name.to_owned()).spawn(move || work(&line));
        // The thread is not waited for; without one the channel is closed, and `is_over` says so.
        drop(thread);
        Self { receive, stop, over: false }
    }

    /// What it told since it was asked last, one at a time.
    pub fn poll(&mut self) -> Option<T> {
        match self.receive.try_recv() {
            Ok(what) => Some(what),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => {
                self.over = true;
                None
            }
        }
    }

    /// True once it ended and all that it told was taken.
    #[must_use]
    pub const fn is_over(&self) -> bool {
        self.over
    }
}

impl<T> Drop for Worker<T> {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}
