using Caseload.Domain;
using Caseload.Domain.Wording;
using Caseload.Web.Features.Matrix;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Rendering;

namespace Caseload.Benchmarks;

/// <summary>The matrix as it would be with a component for each cell: what the one component is measured against.</summary>
public sealed class CellByCell : ComponentBase
{
    /// <summary>What it shows.</summary>
    [Parameter, EditorRequired]
    public MatrixView View { get; set; } = default!;

    /// <inheritdoc />
    protected override void BuildRenderTree(RenderTreeBuilder builder)
    {
        builder.OpenElement(0, "table");
        builder.OpenElement(1, "tbody");
        foreach (var row in View.Rows)
        {
            builder.OpenElement(2, "tr");
            builder.SetKey(row.ChildId);
            builder.OpenElement(3, "th");
            builder.AddContent(4, row.Name);
            builder.AddContent(5, row.Code);
            builder.AddContent(6, row.Age);
            builder.CloseElement();
            for (var index = 0; index < row.Cells.Count; index++)
            {
                builder.OpenComponent<Cell>(7);
                builder.AddComponentParameter(8, nameof(Cell.ChildId), row.ChildId);
                builder.AddComponentParameter(9, nameof(Cell.Item), View.Items[index].Id);
                builder.AddComponentParameter(10, nameof(Cell.Shown), row.Cells[index]);
                builder.CloseComponent();
            }
            builder.CloseElement();
        }
        builder.CloseElement();
        builder.CloseElement();
    }

    /// <summary>One cell.</summary>
    public sealed class Cell : ComponentBase
    {
        /// <summary>The child.</summary>
        [Parameter]
        public Guid ChildId { get; set; }

        /// <summary>The item.</summary>
        [Parameter]
        public string Item { get; set; } = "";

        /// <summary>Where the child stands.</summary>
        [Parameter]
        public MatrixCell? Shown { get; set; }

        /// <inheritdoc />
        protected override void BuildRenderTree(RenderTreeBuilder builder)
        {
            builder.OpenElement(0, "td");
            if (Shown is { } cell)
            {
                builder.AddAttribute(1, "class", $"concern-{cell.Concern.ToWord()}");
                builder.OpenElement(2, "a");
                builder.AddAttribute(3, "tabindex", "-1");
                builder.AddAttribute(4, "href", $"children/{ChildId}?item={Item}");
                builder.AddAttribute(5, "aria-label", Labels.Of(cell.State, cell.Step, cell.IsConfirmed));
                builder.OpenElement(6, "svg");
                builder.AddAttribute(7, "viewBox", "0 0 20 20");
                builder.AddMarkupContent(8, StateMark.PathsOf(cell.State));
                builder.CloseElement();
                builder.CloseElement();
            }
            builder.CloseElement();
        }
    }
}
