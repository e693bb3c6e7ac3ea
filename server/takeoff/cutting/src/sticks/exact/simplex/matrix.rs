//! Coefficients in whole numbers, by columns and by rows.

/// Least and greatest value, both allowed.
pub(in super::super) type Bounds = (i64, i64);

/// A column, whole numbers only.
#[derive(Clone, Debug)]
pub(in super::super) struct Column {
    /// Cost of one.
    pub(in super::super) cost: i64,
    /// Rows and coefficients, each row once.
    pub(in super::super) entries: Vec<(usize, i32)>,
    /// Least and greatest value.
    pub(in super::super) bounds: Bounds,
}

/// A row's coefficients.
#[derive(Clone, Debug, Default)]
pub(in super::super) struct AlongRow {
    /// Columns and coefficients, columns ascending.
    pub(in super::super) entries: Vec<(u32, i32)>,
    /// None of them is larger, whatever its sign.
    pub(in super::super) largest: i64,
}

impl AlongRow {
    fn push(&mut self, column: usize, factor: i32) {
        let column = u32::try_from(column).expect("there are fewer columns than memory holds");
        self.entries.push((column, factor));
        self.largest = self.largest.max(i64::from(factor).abs());
    }
}

/// Columns, and the same row by row: what runs over few rows of many columns is much faster so.
#[derive(Clone, Debug, Default)]
pub(in super::super) struct Matrix {
    columns: Vec<Column>,
    rows: Vec<AlongRow>,
}

impl Matrix {
    pub(in super::super) fn columns(&self) -> &[Column] {
        &self.columns
    }

    pub(in super::super) fn rows(&self) -> &[AlongRow] {
        &self.rows
    }

    /// Adds a row with these coefficients of the columns that are there, columns ascending.
    pub(in super::super) fn add_row(&mut self, coefficients: &[(usize, i32)]) {
        let row = self.rows.len();
        let mut along = AlongRow::default();
        for &(column, factor) in coefficients {
            self.columns[column].entries.push((row, factor));
            along.push(column, factor);
        }
        self.rows.push(along);
    }

    /// Takes the last row away again.
    pub(in super::super) fn pop_row(&mut self) {
        for (column, _) in self.rows.pop().unwrap_or_default().entries {
            self.columns[column as usize].entries.pop();
        }
    }

    /// Adds a column; gives its position.
    pub(in super::super) fn add_column(&mut self, column: Column) -> usize {
        let at = self.columns.len();
        for &(row, factor) in &column.entries {
            self.rows[row].push(at, factor);
        }
        self.columns.push(column);
        at
    }

    /// Sets what a column may be.
    pub(in super::super) fn bound_column(&mut self, column: usize, bounds: Bounds) {
        self.columns[column].bounds = bounds;
    }

    /// Keeps these columns alone, in their order.
    pub(in super::super) fn keep_columns(&mut self, stay: &[usize]) {
        self.columns = stay.iter().map(|&at| self.columns[at].clone()).collect();
        self.lay_rows(self.rows.len());
    }

    /// Keeps these rows alone, in their order.
    pub(in super::super) fn keep_rows(&mut self, stay: &[usize]) {
        let mut new_place = vec![usize::MAX; self.rows.len()];
        for (new, &old) in stay.iter().enumerate() {
            new_place[old] = new;
        }
        for column in &mut self.columns {
            column
                .entries
                .retain(|&(row, _)| new_place[row] != usize::MAX);
            for (row, _) in &mut column.entries {
                *row = new_place[*row];
            }
        }
        self.lay_rows(stay.len());
    }

    fn lay_rows(&mut self, count: usize) {
        self.rows = vec![AlongRow::default(); count];
        for (at, column) in self.columns.iter().enumerate() {
            for &(row, factor) in &column.entries {
                self.rows[row].push(at, factor);
            }
        }
    }
}
