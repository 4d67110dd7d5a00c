using System.Collections.Concurrent;
using System.Text;
using System.Text.Encodings.Web;
using Caseload.Domain;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Matrix;

/// <summary>Writes the matrix as one piece of markup.</summary>
/// <remarks>
/// A caseload of five hundred children has some eighteen thousand cells; a component for each would cost many times the work on the server and as
/// many objects to keep. What is the same for many cells is said once: each shape, the child in its row and the item in its column. Where a cell
/// leads the browser puts together from these when somebody comes to it.
/// </remarks>
public static class MatrixMarkup
{
    private static readonly ConcurrentDictionary<MatrixCell, string> _cells = new();

    /// <summary>The table, with the shapes it refers to.</summary>
    public static string Write(MatrixView view)
    {
        var text = new StringBuilder((view.Rows.Count * view.Items.Count * 130) + 20_000);
        WriteShapes(text);
        text.Append("<table class=\"matrix\" data-cell-grid><caption class=\"visually-hidden\">Where each child stands on each item. ")
            .Append("Move between cells with the arrow keys, open one with Enter.</caption><thead><tr>")
            .Append("<th scope=\"col\" class=\"child\">Child</th>");
        foreach (var item in view.Items)
        {
            text.Append("<th scope=\"col\" data-item=\"")
                .Append(Encode(item.Id))
                .Append("\"><span>")
                .Append(Encode(item.Name))
                .Append("</span></th>");
        }
        text.Append("</tr></thead><tbody>");
        foreach (var row in view.Rows)
        {
            WriteRow(text, row);
        }
        return text.Append("</tbody></table>").ToString();
    }

    private static void WriteShapes(StringBuilder text)
    {
        text.Append("<svg class=\"matrix-shapes\" aria-hidden=\"true\" width=\"0\" height=\"0\"><defs>");
        foreach (var state in Enum.GetValues<ItemState>())
        {
            text.Append("<symbol id=\"state-")
                .Append((int)state)
                .Append("\" viewBox=\"0 0 20 20\">")
                .Append(StateMark.PathsOf(state))
                .Append("</symbol>");
        }
        text.Append("</defs></svg>");
    }

    private static void WriteRow(StringBuilder text, MatrixRow row)
    {
        text.Append("<tr data-child=\"")
            .Append(row.ChildId)
            .Append("\"><th scope=\"row\" class=\"child\"><a href=\"children/")
            .Append(row.ChildId)
            .Append("\">")
            .Append(Encode(row.Name));
        text.Append("</a><span class=\"about\">").Append(row.Code).Append(" · ").Append(Encode(row.Age));
        if (row.Clinician is not null)
        {
            text.Append(" · ").Append(Encode(row.Clinician));
        }
        text.Append("</span></th>");
        foreach (var cell in row.Cells)
        {
            text.Append(cell is { } known ? MarkupOf(known) : "<td></td>");
        }
        text.Append("</tr>");
    }

    // There are some dozens of different cells, whatever the number of children.
    private static string MarkupOf(MatrixCell cell) =>
        _cells.GetOrAdd(
            cell,
            known =>
                $"<td class=\"concern-{known.Concern.ToWord()}\"><a tabindex=\"-1\" role=\"link\" aria-label=\"{Encode(Labels.Of(known.State, known.Step, known.IsConfirmed))}\"><svg><use href=\"#state-{(int)known.State}\"/></svg></a></td>"
        );

    private static string Encode(string text) => HtmlEncoder.Default.Encode(text);
}
