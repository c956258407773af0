//! A picture of a reading: bars in the terminal, or SVG drawn by `plotters`.

use plotters::prelude::*;

use crate::gauge::Plot;
use crate::quantity::sensible;

/// Size of a picture, in its own units.
const SIZE: (u32, u32) = (760, 440);

/// Colours of the series: told apart also by eyes that do not see red or green, and by
/// lightness on paper (the palette of Okabe and Ito, Color Universal Design, 2008).
const COLOURS: [RGBColor; 4] =
    [RGBColor(0, 114, 178), RGBColor(213, 94, 0), RGBColor(0, 158, 115), RGBColor(204, 121, 167)];

/// Bars, one for each point of every series; a limit is a mark in the bar's row.
pub fn text(plot: &Plot, wide: usize) -> String {
    let mut out = format!("{}\n{} | {}\n", plot.title, plot.across, plot.up);
    let (low, high) = span(plot);
    let bar = wide.saturating_sub(24).max(10);
    let column = |up: f64| (((up - low) / (high - low)).clamp(0.0, 1.0) * bar as f64).round() as usize;
    if !plot.series.is_empty() {
        out += &format!("bars from {} to {}\n", sensible(low, 3), sensible(high, 3));
    }
    // Of several curves the first is enough to read off; all of them are in the picture.
    let shown = |at: usize| at == 0 || !plot.series[at].joined;
    for series in plot.series.iter().enumerate().filter(|(at, _)| shown(*at)).map(|(_, s)| s) {
        out += &format!("{}\n", series.name);
        // Enough rows to see the shape; single points are all shown.
        let step = if series.joined { series.points.len().div_ceil(12).max(1) } else { 1 };
        for (across, up) in series.points.iter().step_by(step) {
            let mut row: Vec<char> = vec!['='; column(*up)];
            for (_, level) in &plot.levels {
                let at = column(*level);
                if row.len() <= at {
                    row.resize(at + 1, ' ');
                }
                row[at] = '|';
            }
            let row: String = row.into_iter().collect();
            out += &format!("{:>8} {:>8}  {row}\n", sensible(*across, 3), sensible(*up, 3));
        }
    }
    for (name, level) in &plot.levels {
        out += &format!("| {name}: {}\n", sensible(*level, 3));
    }
    if let Some((across, up)) = plot.here {
        out += &format!("This reading: {} | {}\n", sensible(across, 3), sensible(up, 3));
    }
    out
}

/// The whole picture as SVG.
///
/// # Errors
/// What the drawing library says if it fails.
pub fn svg(plot: &Plot) -> Result<String, String> {
    let mut out = String::new();
    draw(plot, &mut out).map_err(|e| format!("the picture cannot be drawn: {e}"))?;
    Ok(out)
}

fn draw(plot: &Plot, out: &mut String) -> Result<(), Box<dyn std::error::Error>> {
    let area = SVGBackend::with_string(out, SIZE).into_drawing_area();
    area.fill(&WHITE)?;
    let all = || plot.series.iter().flat_map(|s| &s.points).chain(&plot.here).map(|p| p.0);
    let (left, right) = widened(all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    let (low, high) = span(plot);
    // Room on the right for names, so that none lies over a point.
    let end = right + (right - left) * 0.3;
    let mut chart = ChartBuilder::on(&area)
        .caption(&plot.title, ("sans-serif", 20))
        .margin(14)
        .x_label_area_size(44)
        .y_label_area_size(60)
        .build_cartesian_2d(left..end, low..high)?;
    chart
        .configure_mesh()
        .x_desc(&plot.across)
        .y_desc(&plot.up)
        .label_style(("sans-serif", 14))
        .x_label_formatter(&|x| sensible(*x, 3))
        .y_label_formatter(&|y| sensible(*y, 3))
        .light_line_style(TRANSPARENT)
        .draw()?;
    for (series, colour) in plot.series.iter().zip(COLOURS.iter().cycle()) {
        let style = colour.stroke_width(2);
        let drawn = if series.joined {
            chart.draw_series(LineSeries::new(series.points.iter().copied(), style))?
        } else {
            chart.draw_series(series.points.iter().map(|p| Circle::new(*p, 4, colour.filled())))?
        };
        drawn.label(&series.name).legend(move |(x, y)| PathElement::new([(x, y), (x + 18, y)], style));
    }
    for (name, level) in &plot.levels {
        let style = BLACK.stroke_width(1);
        let font = ("sans-serif", 13).into_font().color(&BLACK);
        chart.draw_series(DashedLineSeries::new([(left, *level), (end, *level)], 6, 4, style))?;
        // Just above its line, by the height of a letter.
        let name_at = (right, level + (high - low) * 0.045);
        chart.draw_series([Text::new(name.clone(), name_at, font)])?;
    }
    if let Some(here) = plot.here {
        chart
            .draw_series([Cross::new(here, 7, BLACK.stroke_width(2))])?
            .label("this reading")
            .legend(|(x, y)| Cross::new((x + 9, y), 6, BLACK.stroke_width(2)));
    }
    chart
        .configure_series_labels()
        .position(names_at(plot, low, high))
        .label_font(("sans-serif", 14))
        .background_style(WHITE.mix(0.85))
        .border_style(BLACK.mix(0.3))
        .draw()?;
    area.present()?;
    Ok(())
}

/// Where the names of the series lie: on the right, as far as may be from the names of the limits.
fn names_at(plot: &Plot, low: f64, high: f64) -> SeriesLabelPosition {
    let places = [
        (0.87, SeriesLabelPosition::UpperRight),
        (0.5, SeriesLabelPosition::MiddleRight),
        (0.13, SeriesLabelPosition::LowerRight),
    ];
    let free = |place: f64| {
        let shares = plot.levels.iter().map(|(_, level)| ((level - low) / (high - low) - place).abs());
        shares.fold(f64::INFINITY, f64::min)
    };
    let best = places.into_iter().max_by(|a, b| free(a.0).total_cmp(&free(b.0)));
    best.map_or(SeriesLabelPosition::MiddleRight, |(_, place)| place)
}

/// Least and most up the side, a little widened; from nought if that is near.
fn span(plot: &Plot) -> (f64, f64) {
    let ups = || {
        let points = plot.series.iter().flat_map(|s| &s.points).chain(&plot.here).map(|p| p.1);
        points.chain(plot.levels.iter().map(|l| l.1)).filter(|up| up.is_finite())
    };
    let (low, high) = (ups().fold(f64::INFINITY, f64::min), ups().fold(f64::NEG_INFINITY, f64::max));
    let (least, most) = widened(low, high);
    if low >= 0.0 && low < (high - low) { (0.0, most) } else { (least, most) }
}

fn widened(low: f64, high: f64) -> (f64, f64) {
    if !(low.is_finite() && high.is_finite()) {
        return (0.0, 1.0);
    }
    let room = if high > low { (high - low) * 0.06 } else { high.abs() * 0.1 + 1.0 };
    (low - room, high + room)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Plot {
        Plot::new("T", "x, %", "y, psi")
            .curve("a", (0.0, 10.0), 10, |x| 100.0 + x)
            .level("most", 108.0)
            .here(5.0, 105.0)
    }

    #[test]
    fn a_picture_holds_its_words_and_is_well_formed() {
        let drawn = svg(&sample()).unwrap();
        assert!(drawn.starts_with("<svg") && drawn.trim_end().ends_with("</svg>"));
        for word in ["x, %", "y, psi", "this reading", "most"] {
            assert!(drawn.contains(word), "{word}");
        }
    }

    #[test]
    fn bars_grow_with_the_value_and_limits_are_marked() {
        let shown = text(&sample(), 78);
        let bars: Vec<usize> = shown.lines().filter(|l| l.contains('=')).map(|l| l.matches('=').count()).collect();
        assert_eq!(bars.len(), 11);
        assert!(bars.windows(2).all(|w| w[0] < w[1] + 2) && bars[0] < bars[10], "{bars:?}");
        assert!(shown.contains("| most: 108") && shown.ends_with("This reading: 5 | 105\n"));
    }

    #[test]
    fn nothing_to_draw_is_drawn_as_nothing() {
        let empty = Plot::new("T", "x", "y");
        assert!(svg(&empty).is_ok());
        assert_eq!(text(&empty, 78), "T\nx | y\n");
    }
}
