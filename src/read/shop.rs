//! `[shop]` of paddles.toml (MODEL 3).

use crate::length::Length;
use crate::lumber::ZoneKind;
use crate::paddle::{Margin, Shop};
use crate::read::table::{Place, TableReader, written};
use std::collections::BTreeMap;
use toml_edit::TableLike;

const SHOP_KEYS: [&str; 20] = [
    "rip_kerf",
    "crosscut_kerf",
    "resaw_kerf",
    "curve_kerf",
    "edge",
    "far_edge",
    "board_end",
    "dress",
    "curve_dress",
    "resaw_dress",
    "plane",
    "straight",
    "pair",
    "pull",
    "min_rip",
    "margin",
    "planer_shortest",
    "planer_thinnest",
    "planer_snipe",
    "planer_widest",
];
/// Where a file names none of these, the sheets say what was taken for them.
const TOLD: [&str; 5] = ["far_edge", "curve_kerf", "curve_dress", "resaw_dress", "margin"];
const MARGIN_KEYS: [&str; 2] = ["along", "across"];

impl TableReader<'_> {
    pub(super) fn shop(&mut self, top: &dyn TableLike, at: &Place) -> Shop {
        let mut shop = Shop { unsaid: true, ..Shop::default() };
        let place = self.place(top, at, "shop");
        let Some(item) = top.get("shop") else { return shop };
        let Some(table) = item.as_table_like() else {
            let value = item.is_value().then(|| written(item));
            let cure = "write [shop] and its keys below it";
            self.problem(&place, value.as_deref(), "is not a table", cure);
            return shop;
        };
        let place = Place { span: item.span(), path: "shop".to_owned() };
        self.unknown(table, &place, &SHOP_KEYS);
        let read = |reader: &mut Self, key: &str, into: &mut Length| {
            if let Some(length) = reader.length(table, &place, key, Length::ZERO) {
                *into = length;
            }
        };
        read(self, "rip_kerf", &mut shop.rip_kerf);
        read(self, "crosscut_kerf", &mut shop.crosscut_kerf);
        read(self, "edge", &mut shop.edge);
        read(self, "far_edge", &mut shop.far_edge);
        read(self, "board_end", &mut shop.board_end);
        read(self, "dress", &mut shop.dress);
        // What the other saws leave is dressed alike unless they say otherwise.
        (shop.curve_dress, shop.resaw_dress) = (shop.dress, shop.dress);
        read(self, "curve_dress", &mut shop.curve_dress);
        read(self, "resaw_dress", &mut shop.resaw_dress);
        read(self, "plane", &mut shop.plane);
        read(self, "straight", &mut shop.straight);
        read(self, "pair", &mut shop.pair);
        read(self, "pull", &mut shop.pull);
        read(self, "min_rip", &mut shop.min_rip);
        read(self, "planer_shortest", &mut shop.planer.shortest);
        read(self, "planer_thinnest", &mut shop.planer.thinnest);
        read(self, "planer_snipe", &mut shop.planer.snipe);
        read(self, "planer_widest", &mut shop.planer.widest);
        shop.resaw_kerf = self.length(table, &place, "resaw_kerf", Length::ZERO);
        shop.curve_kerf = self.length(table, &place, "curve_kerf", Length::ZERO);
        shop.margins = self.margins(table, &place);
        shop.unsaid = !TOLD.iter().any(|key| table.contains_key(key));
        shop
    }

    /// What is kept clear around zones, by their kind.
    fn margins(&mut self, shop: &dyn TableLike, at: &Place) -> BTreeMap<ZoneKind, Margin> {
        let mut margins = BTreeMap::new();
        let Some(item) = shop.get("margin") else { return margins };
        let place = self.place(shop, at, "margin");
        let cure = "write [shop.margin] and below it knot = { along = \"1/2\", across = \"1/8\" }";
        let Some(table) = item.as_table_like() else {
            self.problem(&place, Some(&written(item)), "is not a table", cure);
            return margins;
        };
        for (kind, item) in table.iter() {
            let at =
                Place { path: format!("shop, margin, {kind}"), ..self.place(table, &place, kind) };
            self.fit(&at, kind);
            let Some(of) = item.as_table_like() else {
                self.problem(&at, Some(&written(item)), "is not a margin", cure);
                continue;
            };
            self.unknown(of, &at, &MARGIN_KEYS);
            let side = |reader: &mut Self, key: &str| reader.length(of, &at, key, Length::ZERO);
            let margin = Margin {
                along: side(self, "along").unwrap_or_default(),
                across: side(self, "across").unwrap_or_default(),
            };
            if margins.insert(ZoneKind::new(kind), margin).is_some() {
                let cure = "keep one of the two";
                self.problem(&at, None, "names a kind of zone for the second time", cure);
            }
        }
        margins
    }
}
