//! The kinds of things that can be recorded, in working order where there is one.

use std::fmt;

use serde::{Deserialize, Serialize};

macro_rules! kinds {
    ($( $variant:ident $name:literal $title:literal $plural:literal; )+) => {
        /// A kind of thing in the record. Only ever added to: the names are stored.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Kind {
            $(
                #[doc = $title]
                #[serde(rename = $name)]
                $variant,
            )+
        }

        impl Kind {
            /// Every kind.
            pub const ALL: &'static [Self] = &[ $( Self::$variant, )+ ];

            /// Its name in storage, URLs and job files.
            pub const fn name(self) -> &'static str {
                match self { $( Self::$variant => $name, )+ }
            }

            /// What one of it is called.
            pub const fn title(self) -> &'static str {
                match self { $( Self::$variant => $title, )+ }
            }

            /// What several of it are called.
            pub const fn plural(self) -> &'static str {
                match self { $( Self::$variant => $plural, )+ }
            }
        }
    };
}

kinds! {
    Job "job" "Job" "Jobs";
    Week "week" "Work week" "Weeks";
    Storey "storey" "Storey" "Storeys";
    Room "room" "Room" "Rooms";
    Wall "wall" "Wall" "Walls";
    Layer "layer" "Layer" "Layers";
    Opening "opening" "Opening" "Openings";
    Member "member" "Member" "Members";
    Run "run" "Run" "Runs";
    Reading "reading" "Reading" "Readings";
    Note "note" "Note" "Notes";
    Supplier "supplier" "Supplier" "Suppliers";
    Price "price" "Price" "Price book";
    Hardware "hardware" "Hardware" "Hardware table";
    Shore "shore" "Shore" "Shores";
    TakeOut "take_out" "Take out a wall" "Walls to take out";
    Struts "struts" "Take out and re-set roof struts" "Roof struts";
    SetBeam "set_beam" "Set a beam" "Beams to set";
    SetPost "set_post" "Set a post" "Posts to set";
    Pack "pack" "Pack or block" "Packing and blocking";
    HangJoists "hang_joists" "Hang joists" "Joists to hang";
    Sister "sister" "Sister a member" "Sisters";
    Plate "plate" "Replace or splice a plate" "Plates";
    Studs "studs" "Add studs" "Studs to add";
    PatchFloor "patch_floor" "Patch a subfloor" "Subfloor patches";
    Board "board" "Board with sheet goods" "Boarding";
    Sundry "sundry" "Buy a sundry" "Sundries";
    Receipt "receipt" "Receipt" "Receipts";
    Bought "bought" "Receipt line" "Receipt lines";
    Order "order" "Yard order" "Yard orders";
    Stock "stock" "On hand" "On hand";
    Photo "photo" "Photo" "Photos";
    Word "word" "Word on paper" "Words and papers";
    Event "event" "Event" "Events";
    Hold "hold" "Hold released" "Holds released";
    Skip "skip" "Hold skipped" "Holds skipped";
}

impl Kind {
    /// The thirteen kinds of change, in working order.
    pub const CHANGES: [Self; 13] = [
        Self::Shore,
        Self::TakeOut,
        Self::Struts,
        Self::SetBeam,
        Self::SetPost,
        Self::Pack,
        Self::HangJoists,
        Self::Sister,
        Self::Plate,
        Self::Studs,
        Self::PatchFloor,
        Self::Board,
        Self::Sundry,
    ];

    /// Whether it is a kind of change.
    pub fn is_change(self) -> bool {
        Self::CHANGES.contains(&self)
    }

    /// The kind of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.name() == name)
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
