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
//! | `least_cost` | how cheap what is to be bought is, and against cutting longest first |
//! | `swap` | another thing than the line asked for: does it serve |
//! | `kept` | lists as they were when something was first bought from them, and what changed since |
//! | `on_order` | what an order brought and still brings, drafts, where the list says something else by now |
//! | `order_line`, `money` | an order as it was sent; planned, ordered, spent |
//! | `trip` | several weeks in one trip: what it saves, what lies around, the vehicle's loads |
//! | `over` | what was bought for a week and nothing wants; what was bought twice |
//! | `basis`, `plan` | the standing plan: which piece comes from which stick, and what is bought |

mod basis;
mod counted;
mod cut_list;
mod done_form;
mod entries;
mod item;
mod kept;
mod least_cost;
mod ledger;

mod list;
mod money;
mod on_order;
mod order_line;
mod over;
mod packs;
mod plan;
mod prices;
mod receipt;
mod swap;
#[cfg(test)]
mod tests;
mod trip;

pub use basis::{Basis, Counted};
pub use cut_list::{CutList, CutPiece, CutStick, Pattern, Run, Spare, cut_list, marks_of};
pub use done_form::{DoneForm, DoneStick, done_form, struck_form};
pub use entries::{AfreshPreview, MovedLine, Used, Values, afresh_preview, effects, on_record};
pub use item::{Item, ItemError};
pub use kept::{Difference, differences};
pub use least_cost::{Cheapness, LeastCost, WhyOpen};
pub use ledger::{
    Cause, Effect, KeptLine, KeptList, KeptNeed, Ledger, LineShare, Movement, Ordered, PieceKey,
    Place, Share, StockRow,
};
pub use list::{BuyLine, BuyList, buy_list, buy_list_with_least};
pub use money::{Amounts, MoneyOf, MoneySums, SpentLine, money, ordered_on, planned_on, spent_on};
pub use on_order::{
    OrderDifference, OrderState, OrderedLine, as_list, draft_lines, order_differences,
    order_revision, order_state, ordered_lines, taken_over_by,
};
pub use order_line::{OrderLine, order_lines};
pub use over::{bought_twice, left_over};
pub use plan::{Plan, Planned, RowPlan, Solved, Unmet, WasteSum};
pub use prices::{Offer, PriceBook};
pub use receipt::{ReceiptSums, extension, receipt_sums};
pub use swap::{swap_problems, swap_problems_of_order};
pub use trip::{Bought, Carried, Gap, Lists, Load, Lying, Trip, trip};
