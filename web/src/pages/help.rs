//! Help: the weekly round, the buying round, how to write a length, and what this is not.

use maud::html;

use crate::layout::{Page, Shell, page as shell};

/// Draws it.
pub fn page() -> Page {
    let main = html! {
        h1 { "Help" }
        h2 { "The weekly round" }
        ol class="rows" {
            li { b { "Survey" } p { "Rooms, walls, members and runs, as found. Measure twice: two readings that agree are agreed, one alone is for buying only." } }
            li { b { "Plan" } p { "Changes by week: shore, take out, set, hang, patch. What each one lacks is asked for on this week’s page." } }
            li { b { "Materials, buy list" } p { "Every line opens to its arithmetic. What is on hand comes off first." } }
            li { b { "Yard" } p { "CSV, text or print; or tick lines off at the yard. A tick means bought as listed." } }
            li { b { "Work" } p { "Mark a change done: what it used leaves, what is left comes back to on hand." } }
        }
        h2 id="buying" { "The buying round" }
        ol class="rows" {
            li { b { "Tick" } p { "On the buy list, at the yard. The line is on hand at once, and on this phone’s slip for that yard. Press again to take it back." } }
            li { b { "Save receipt" } p { "Type the total that the paper says. Where lines and tax come to something else, the receipt’s page says by how much." } }
            li { b { "Swap, return" } p { "Open the line. Bought something else for it: say what, and whether it serves is said at once. Taken back to the yard: say how many." } }
            li { b { "Order" } p { "On the buy list, Order drafts the list for one yard. Once it is sent it stays as it was; what changes later makes the next revision." } }
            li { b { "What came" } p { "On the order’s page: how many of each line, and whether the rest stays ordered or goes back to the list." } }
            li { b { "Close the week" } p { "Count what is left, move on or drop what is not done, look at what could go back. The lead can open the week again." } }
            li { b { "Money" } p { "Planned, ordered and spent, by week, supplier and change. Each row opens to the receipts that it is made of." } }
        }
        h2 { "How to write a length" }
        p { "All of these are read: " b { "7' 3 3/8\"" } ", " b { "7-3-3/8" } ", " b { "7ft 3.375in" } ", " b { "83 5/8" } ", " b { "83.625" } ", " b { "2124mm" } ", " b { "2.124 m" } ", " b { "83 5/8 + 1/4" } ", " b { "144 - 3 1/2" } "." }
        p { "A bare number is inches; in a metric job, millimetres." }
        h2 id="reach" { "The server is out of reach" }
        ol class="rows" {
            li { b { "Away from the house" } p { "Go on: entries are kept on this phone and go by themselves, once the server is in reach and a page of it open." } }
            li { b { "Beside it" } p { "Is the phone on the house’s Wi-Fi, and the machine on? Another phone that gets through says that the server is there." } }
            li { b { "Only this phone" } p { "Are its date and time right? With a wrong clock it refuses the server’s certificate. It also does where the certificate is no longer trusted: then " a href="/setup" { "set the phone up" } " again." } }
            li { b { "The address changed" } p { "What waits belongs to the old one. On " a href="/outbox" { "this phone’s list" } ", save unsent entries to a file; at the new address, take it in under " a href="/crew" { "Crew and phones" } "." } }
        }
        h2 { "What this is not" }
        p class="caut" { b { "Not a design." } " It counts and shows its arithmetic. Your engineer, your building department and the hardware maker’s sheet decide." }
    };
    shell(&Shell::plain("Help"), &main)
}
