using Caseload.Data.Access;
using Caseload.Domain;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Programmes;

/// <summary>The rules for signing in and keeping records; everybody may read them.</summary>
public partial class AccessPolicyEditor
{
    private static readonly Dictionary<Role, string> RoleNames = new()
    {
        [Role.Administrator] = "Administrators",
        [Role.TeamLead] = "Team leads",
        [Role.Clinician] = "Clinicians",
        [Role.Observer] = "Observers",
    };

    /// <summary>The form.</summary>
    [Parameter, EditorRequired]
    public AccessPolicyForm Form { get; set; } = default!;

    /// <summary>Whether the person may change it.</summary>
    [Parameter, EditorRequired]
    public bool MayChange { get; set; }

    /// <summary>What was refused.</summary>
    [Parameter]
    public IReadOnlyList<Refusal> Refusals { get; set; } = [];

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>What was saved last.</summary>
    [Parameter]
    public string? Saved { get; set; }

    /// <summary>Asked for when it shall be saved.</summary>
    [Parameter]
    public EventCallback OnSave { get; set; }

    /// <summary>Asked for when the defaults shall be filled in.</summary>
    [Parameter]
    public EventCallback OnDefaults { get; set; }

    private void Toggle(Role role) => _ = Form.NeedSecondFactor.Remove(role) || Form.NeedSecondFactor.Add(role);
}
