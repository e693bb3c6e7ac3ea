//! What forms send: extract, compose entries, apply, go and look. Refused forms come back as typed.

pub(crate) mod act;
pub(crate) mod add;
pub(crate) mod buy;
pub(crate) mod compose;
pub(crate) mod done;
pub(crate) mod edit;
pub(crate) mod prices;
pub(crate) mod save;
pub(crate) mod view;
