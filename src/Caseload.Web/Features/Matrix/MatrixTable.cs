using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Rendering;

namespace Caseload.Web.Features.Matrix;

/// <summary>The matrix: one component, whatever the number of cells, rendered anew only with another view.</summary>
public sealed class MatrixTable : ComponentBase
{
    private MatrixView? _written;

    /// <summary>What it shows.</summary>
    [Parameter, EditorRequired]
    public MatrixView View { get; set; } = default!;

    /// <inheritdoc />
    protected override bool ShouldRender() => !ReferenceEquals(_written, View);

    /// <inheritdoc />
    protected override void BuildRenderTree(RenderTreeBuilder builder)
    {
        _written = View;
        builder.AddMarkupContent(0, MatrixMarkup.Write(View));
    }
}
