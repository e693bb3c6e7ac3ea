//! What forms send: extract, compose entries, apply, go and look. Refused forms come back as typed.

pub(crate) mod act;
pub(crate) mod add;
pub(crate) mod buy;
pub(crate) mod came;
pub(crate) mod close;
pub(crate) mod compose;
pub(crate) mod crew;
pub(crate) mod done;
pub(crate) mod edit;
pub(crate) mod line;
pub(crate) mod order;
pub(crate) mod photo;
pub(crate) mod price_dates;
pub(crate) mod prices;
pub(crate) mod save;
pub(crate) mod supplier;
pub(crate) mod view;
