using Caseload.Domain;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Account;

/// <summary>Two fields for a password to be set.</summary>
public partial class NewPasswordFields
{
    /// <summary>The field name of the second entry.</summary>
    public const string AgainField = "again";

    /// <summary>The name of the form's property that takes them.</summary>
    [Parameter, EditorRequired]
    public string Name { get; set; } = "";

    /// <summary>What is wrong, at its field.</summary>
    [Parameter]
    public IReadOnlyList<Refusal> Refusals { get; set; } = [];

    private string? Problem => At("password");

    private string? AgainProblem => At(AgainField);

    /// <summary>The refusal for two entries that differ, else none.</summary>
    public static IReadOnlyList<Refusal> Compare(string password, string again) =>
        password == again ? [] : [new Refusal(AgainField, "The two entries differ. Type the same password twice.")];

    private string? At(string field) => Refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;
}
