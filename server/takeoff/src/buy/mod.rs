//! Buying: the ledger behind needed, on hand, bought and still to buy.
//!
//! | file | what it holds |
//! | --- | --- |
//! | `item` | what a person can point at |
//! | `ledger` | rows on hand, movements, what an entry does to them |
//! | `prices` | the price book |
//! | `counted` | nails, hardware, sundries: waste, earmarks |
//! | `packs` | the cheapest packs that hold a count |
//! | `entries` | what an entry does to the ledger |
//! | `list`, `cut_list`, `done_form`, `receipt` | what the pages show |
//! | `basis`, `plan` | the standing plan: which piece comes from which stick, and what is bought |

mod basis;
mod counted;
mod cut_list;
mod done_form;
mod entries;
mod item;
mod ledger;
mod list;
mod packs;
mod plan;
mod prices;
mod receipt;
#[cfg(test)]
mod tests;

pub use basis::{Basis, Counted};
pub use cut_list::{CutList, CutPiece, CutStick, cut_list, marks_of};
pub use done_form::{DoneForm, DoneStick, done_form, struck_form};
pub use entries::{Values, effects};
pub use item::{Item, ItemError};
pub use ledger::{Cause, Effect, Ledger, Movement, PieceKey, Place, StockRow};
pub use list::{BuyLine, BuyList, buy_list};
pub use plan::{Plan, Planned, RowPlan, Solved, Unmet, WasteSum};
pub use prices::{Offer, PriceBook};
pub use receipt::{ReceiptSums, extension, receipt_sums};
