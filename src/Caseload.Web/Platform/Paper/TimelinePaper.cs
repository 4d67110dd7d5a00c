using Caseload.Domain.Interpretation;
using Caseload.Web.Ui.Timeline;
using PdfSharp.Drawing;

namespace Caseload.Web.Platform.Paper;

/// <summary>Draws a timeline on paper from the layout that the screen draws, line by line and shape by shape.</summary>
internal sealed class TimelinePaper
{
    private const double SideShift = 5;

    private static readonly XColor _band = XColor.FromArgb(0xbf, 0xd8, 0xd8);

    private readonly XGraphics _page;
    private readonly TimelineLayout _layout;
    private readonly double _scale;
    private readonly double _left;
    private readonly double _top;

    private TimelinePaper(XGraphics page, TimelineLayout layout, double left, double top, double scale)
    {
        (_page, _layout, _left, _top, _scale) = (page, layout, left, top, scale);
    }

    /// <summary>Draws lanes of a timeline: as many as fit on each page, each part with its axis.</summary>
    internal static void Draw(PaperDocument paper, TimelineLayout layout)
    {
        var scale = paper.Width / layout.Width;
        for (var done = 0; done < layout.Lanes.Count; )
        {
            var fits = Math.Max(1, (int)((paper.RoomOnPage / scale - layout.Top) / layout.LaneHeight));
            var part = PartOf(layout, [.. layout.Lanes.Skip(done).Take(fits)]);
            paper.Draw((part.Height + 4) * scale, (page, x, y) => new TimelinePaper(page, part, x, y, scale).Draw());
            done += part.Lanes.Count;
        }
    }

    private static TimelineLayout PartOf(TimelineLayout layout, IReadOnlyList<Lane> lanes)
    {
        var shift = lanes[0].Y - (layout.Top + layout.LaneHeight / 2);
        return layout with
        {
            Height = layout.Top + lanes.Count * layout.LaneHeight + 6,
            Lanes = [.. lanes.Select(lane => lane with { Y = lane.Y - shift })],
        };
    }

    private void Draw()
    {
        Text(_layout.AxisTitle, 10, PaperColours.Quiet, 0, _layout.Top - 8);
        for (var index = 1; index < _layout.Lanes.Count; index += 2)
        {
            Box(
                new XSolidBrush(PaperColours.Stripe),
                0,
                _layout.Lanes[index].Y - _layout.LaneHeight / 2,
                _layout.Width,
                _layout.LaneHeight
            );
        }
        foreach (var tick in _layout.Ticks)
        {
            Line(new XPen(PaperColours.Line, 0.5), tick.X, _layout.Top - 4, tick.X, _layout.Height - 4);
            if (tick.Text.Length > 0)
            {
                Text(tick.Text, 10, PaperColours.Quiet, tick.X, _layout.Top - 8, centred: true);
            }
        }
        foreach (var lane in _layout.Lanes)
        {
            DrawLane(lane);
        }
        Line(new XPen(PaperColours.Teal, 1), _layout.TodayX, _layout.Top - 6, _layout.TodayX, _layout.Height - 2);
        Text(_layout.TodayText, 10, PaperColours.Teal, Math.Min(_layout.TodayX, _layout.Width - 30), 12, centred: true);
    }

    private void DrawLane(Lane lane)
    {
        var right = _layout.Right;
        Text(lane.Label, 11, PaperColours.Ink, 0, lane.Y - 1);
        Text(lane.State, 9.5, lane.Concern >= Concern.Act ? PaperColours.Urgent : PaperColours.Quiet, 0, lane.Y + 11);
        if (lane.ExpectedFrom is { } expected)
        {
            Line(new XPen(PaperColours.Quiet, 0.9), expected, lane.Y, Math.Max(expected, lane.UsualFrom ?? right), lane.Y);
        }
        if (lane.UsualFrom is { } from)
        {
            Box(new XSolidBrush(_band), from, lane.Y - 7, Math.Max((lane.UsualThrough ?? right) - from, 2), 14);
            if (lane.UsualThrough is { } deadline && lane.LatestThrough > deadline)
            {
                Hatch(deadline, lane.LatestThrough.Value, lane.Y);
            }
        }
        if (lane.LatestThrough is { } limit)
        {
            Line(new XPen(PaperColours.Ink, 1.4), limit, lane.Y - 9, limit, lane.Y + 9);
        }
        if (lane is { CheckFrom: { } checkFrom, CheckThrough: { } checkThrough })
        {
            var end = Math.Max(checkThrough, checkFrom + 3);
            var pen = new XPen(PaperColours.Teal, 1);
            Line(pen, checkFrom, lane.Y + 7, checkFrom, lane.Y + 11);
            Line(pen, checkFrom, lane.Y + 11, end, lane.Y + 11);
            Line(pen, end, lane.Y + 11, end, lane.Y + 7);
        }
        foreach (var mark in lane.Marks)
        {
            var y =
                lane.Y
                + mark.SideLetter switch
                {
                    "L" => -SideShift,
                    "R" => SideShift,
                    _ => 0,
                };
            Shape(mark.Kind, mark.X, y);
            if (mark.SideLetter.Length > 0)
            {
                Text(mark.SideLetter, 9, PaperColours.Ink, mark.X + 8, y + 3.5);
            }
        }
    }

    /// <summary>What the shapes mean, in two rows across a width.</summary>
    internal static void DrawLegend(XGraphics page, TimelineLayout layout, double left, double top, double width)
    {
        var kinds = Enum.GetValues<TimelineMark>();
        var inARow = (kinds.Length + 1) / 2;
        for (var index = 0; index < kinds.Length; index++)
        {
            var x = left + index % inARow * (width / inARow);
            var y = top + index / inARow * 11;
            var drawing = new TimelinePaper(page, layout, x, y, 0.75);
            drawing.Shape(kinds[index], 8, 0);
            drawing.Text(TimelineSvg.NameOf(kinds[index]), 10, PaperColours.Quiet, 20, 4);
        }
    }

    private void Shape(TimelineMark kind, double x, double y)
    {
        var pen = new XPen(PaperColours.Ink, 1.1);
        var brush = new XSolidBrush(PaperColours.Ink);
        switch (kind)
        {
            case TimelineMark.Absent:
                _page.DrawRectangle(pen, XBrushes.White, X(x - 5), Y(y - 5), 10 * _scale, 10 * _scale);
                Line(pen, x - 5, y + 5, x + 5, y - 5);
                break;
            case TimelineMark.Weak:
                Circle(null, brush, x, y, 2.6);
                break;
            case TimelineMark.Typical:
                Circle(null, brush, x, y, 5);
                break;
            case TimelineMark.Brisk:
                _page.DrawPolygon(brush, [At(x, y - 6), At(x + 6, y + 4.5), At(x - 6, y + 4.5)], XFillMode.Winding);
                break;
            case TimelineMark.Obligatory:
                _page.DrawPolygon(brush, [At(x, y - 7), At(x + 7, y), At(x, y + 7), At(x - 7, y)], XFillMode.Winding);
                break;
            case TimelineMark.Partial:
                Circle(pen, XBrushes.White, x, y, 5.2);
                _page.DrawPie(brush, X(x - 5.2), Y(y - 5.2), 10.4 * _scale, 10.4 * _scale, -90, 180);
                break;
            case TimelineMark.Complete:
                Circle(pen, XBrushes.White, x, y, 6.4);
                Circle(null, brush, x, y, 3.2);
                break;
            case TimelineMark.Inconclusive:
                Text("?", 12, PaperColours.Ink, x, y + 4, centred: true);
                break;
            case TimelineMark.NotTested:
                Line(pen, x - 4, y, x + 4, y);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(kind));
        }
    }

    private void Hatch(double from, double through, double y)
    {
        var state = _page.Save();
        _page.IntersectClip(new XRect(X(from), Y(y - 7), (through - from) * _scale, 14 * _scale));
        var pen = new XPen(PaperColours.Quiet, 0.6);
        for (var x = from - 14; x < through; x += 5)
        {
            Line(pen, x, y + 7, x + 14, y - 7);
        }
        _page.Restore(state);
    }

    private void Circle(XPen? pen, XBrush brush, double x, double y, double radius)
    {
        if (pen is not null)
        {
            _page.DrawEllipse(pen, brush, X(x - radius), Y(y - radius), 2 * radius * _scale, 2 * radius * _scale);
            return;
        }
        _page.DrawEllipse(brush, X(x - radius), Y(y - radius), 2 * radius * _scale, 2 * radius * _scale);
    }

    private void Box(XBrush brush, double x, double y, double width, double height) =>
        _page.DrawRectangle(brush, X(x), Y(y), width * _scale, height * _scale);

    private void Line(XPen pen, double x1, double y1, double x2, double y2) => _page.DrawLine(pen, X(x1), Y(y1), X(x2), Y(y2));

    private void Text(string text, double size, XColor colour, double x, double y, bool centred = false) =>
        _page.DrawString(
            VisualOrder.Of(text),
            PaperFonts.Of(size * _scale * 1.15, isBold: false),
            new XSolidBrush(colour),
            new XPoint(X(x), Y(y)),
            centred ? XStringFormats.BaseLineCenter : XStringFormats.BaseLineLeft
        );

    private XPoint At(double x, double y) => new(X(x), Y(y));

    private double X(double x) => _left + x * _scale;

    private double Y(double y) => _top + y * _scale;
}
