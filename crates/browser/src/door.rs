//! The three functions that a browser calls. A request is written into a room of this memory, its answer stands there
//! afterwards: no pointer is ever followed on this side.

use std::cell::RefCell;

use crate::core::Core;

thread_local! {
    static CORE: RefCell<Core> = RefCell::default();
    static ROOM: RefCell<Vec<u8>> = RefCell::default();
}

/// Makes room for a request of that many bytes, and says where.
// Two functions of one name would be the danger; nothing else here has it.
#[allow(unsafe_code)]
#[unsafe(no_mangle)]
pub extern "C" fn room(length: usize) -> *mut u8 {
    ROOM.with_borrow_mut(|room| {
        *room = vec![0; length];
        room.as_mut_ptr()
    })
}

/// Answers the request that stands in the room, and says where the answer stands.
#[allow(unsafe_code)]
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> *const u8 {
    let request = ROOM.with_borrow_mut(std::mem::take);
    let answer = CORE.with_borrow_mut(|core| core.answer(&request));
    ROOM.with_borrow_mut(|room| {
        *room = answer;
        room.as_ptr()
    })
}

/// How many bytes the answer has.
#[allow(unsafe_code)]
#[unsafe(no_mangle)]
pub extern "C" fn length() -> usize {
    ROOM.with_borrow(Vec::len)
}
