using System.Text;
using System.Text.Encodings.Web;
using Caseload.Domain;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Matrix;

/// <summary>Writes the matrix as one piece of markup.</summary>
/// <remarks>
/// A caseload of five hundred children has some eighteen thousand cells; a component for each would cost a second and more on the server and as
/// many objects to keep. Each shape is drawn once and referred to.
/// </remarks>
public static class MatrixMarkup
{
    /// <summary>The table, with the shapes it refers to.</summary>
    public static string Write(MatrixView view)
    {
        var text = new StringBuilder((view.Rows.Count * view.Items.Count * 150) + 20_000);
        WriteShapes(text);
        text.Append("<table class=\"matrix\" data-cell-grid><caption class=\"visually-hidden\">Where each child stands on each item. ")
            .Append("Move between cells with the arrow keys, open one with Enter.</caption><thead><tr>")
            .Append("<th scope=\"col\" class=\"child\">Child</th>");
        foreach (var item in view.Items)
        {
            text.Append("<th scope=\"col\"><span>").Append(Encode(item.Name)).Append("</span></th>");
        }
        text.Append("</tr></thead><tbody>");
        foreach (var row in view.Rows)
        {
            WriteRow(text, view.Items, row);
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

    private static void WriteRow(StringBuilder text, IReadOnlyList<MatrixItem> items, MatrixRow row)
    {
        text.Append("<tr><th scope=\"row\" class=\"child\"><a href=\"children/").Append(row.ChildId).Append("\">").Append(Encode(row.Name));
        text.Append("</a><span class=\"about\">").Append(row.Code).Append(" · ").Append(Encode(row.Age));
        if (row.Clinician is not null)
        {
            text.Append(" · ").Append(Encode(row.Clinician));
        }
        text.Append("</span></th>");
        for (var index = 0; index < items.Count; index++)
        {
            if (row.Cells[index] is not { } cell)
            {
                text.Append("<td></td>");
                continue;
            }
            text.Append("<td class=\"concern-")
                .Append(cell.Concern.ToWord())
                .Append("\"><a tabindex=\"-1\" href=\"children/")
                .Append(row.ChildId)
                .Append("?item=")
                .Append(items[index].Id)
                .Append("\" aria-label=\"")
                .Append(Labels.Of(cell.State, cell.Step, cell.IsConfirmed))
                .Append("\"><svg aria-hidden=\"true\"><use href=\"#state-")
                .Append((int)cell.State)
                .Append("\"/></svg></a></td>");
        }
        text.Append("</tr>");
    }

    private static string Encode(string text) => HtmlEncoder.Default.Encode(text);
}
