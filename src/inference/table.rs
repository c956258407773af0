//! The table's arithmetic: one cell for every combination of levels of the open items.
//!
//! Every operation adds and multiplies non-negative numbers and nothing else.

/// Places of the open items in the table's index, lowest first.
#[derive(Debug, Clone, Default)]
pub(super) struct Layout(Vec<(usize, usize)>);

impl Layout {
    pub(super) fn open(&mut self, item: usize, radix: usize) {
        self.0.push((item, radix));
    }

    pub(super) fn close(&mut self, item: usize) {
        self.0.retain(|(o, _)| *o != item);
    }

    /// Stride and radix of an item.
    pub(super) fn place(&self, item: usize) -> (usize, usize) {
        let mut stride = 1;
        for (o, radix) in &self.0 {
            if *o == item {
                return (stride, *radix);
            }
            stride *= radix;
        }
        (stride, 1)
    }
}

/// What of a cause's contribution is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Take {
    All,
    Top,
    BelowTop,
}

/// Raises one item of the table to the highest of its level and the cause's.
pub(super) fn raise(table: &mut [f64], stride: usize, radix: usize, chances: &[f64; 3]) {
    each_fibre(table.len(), stride, radix, |base| {
        for level in (0..radix).rev() {
            let mut below = 0.0;
            for l in 0..level {
                below += table[base + l * stride];
            }
            let up_to: f64 = chances.iter().take(level + 1).sum();
            let cell = &mut table[base + level * stride];
            *cell = *cell * up_to + chances[level] * below;
        }
    });
}

/// The transpose of [`raise`], for the pass back.
pub(super) fn lower(table: &mut [f64], stride: usize, radix: usize, chances: &[f64; 3], take: Take) {
    let top = radix - 1;
    let mut chances = *chances;
    match take {
        Take::All => {}
        Take::BelowTop => chances[top] = 0.0,
        Take::Top => chances.iter_mut().take(top).for_each(|c| *c = 0.0),
    }
    each_fibre(table.len(), stride, radix, |base| {
        for level in 0..radix {
            let up_to: f64 = chances.iter().take(level + 1).sum();
            let mut sum = table[base + level * stride] * up_to;
            for higher in level + 1..radix {
                sum += chances[higher] * table[base + higher * stride];
            }
            table[base + level * stride] = sum;
        }
    });
}

/// Calls `work` with the index of the lowest level of every fibre along one item.
pub(super) fn each_fibre(size: usize, stride: usize, radix: usize, mut work: impl FnMut(usize)) {
    for high in (0..size).step_by(stride * radix) {
        for low in 0..stride {
            work(high + low);
        }
    }
}

pub(super) fn summed_out(table: &[f64], stride: usize, radix: usize, weights: &[f64; 3]) -> Vec<f64> {
    let mut out = Vec::with_capacity(table.len() / radix);
    for high in (0..table.len()).step_by(stride * radix) {
        for low in 0..stride {
            out.push((0..radix).map(|l| weights[l] * table[high + low + l * stride]).sum());
        }
    }
    out
}

pub(super) fn spread(table: &[f64], stride: usize, radix: usize, weights: &[f64; 3]) -> Vec<f64> {
    let mut out = vec![0.0; table.len() * radix];
    let mut cell = table.iter();
    for high in (0..out.len()).step_by(stride * radix) {
        for low in 0..stride {
            let x = cell.next().copied().unwrap_or(0.0);
            for l in 0..radix {
                out[high + low + l * stride] = weights[l] * x;
            }
        }
    }
    out
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Keeps numbers away from the smallest ones; gives the logarithm taken out.
pub(super) fn rescale(table: &mut [f64]) -> Option<f64> {
    let most = table.iter().copied().fold(0.0, f64::max);
    if most == 0.0 {
        return None;
    }
    if most > 1e-60 {
        return Some(0.0);
    }
    table.iter_mut().for_each(|x| *x /= most);
    Some(most.ln())
}
