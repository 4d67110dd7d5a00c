using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.People;

/// <summary>Everybody with an account. A programme has tens of people, so what is typed is looked for in the page.</summary>
public partial class PeoplePage
{
    private IReadOnlyList<PersonRow> _people = [];
    private string _search = "";

    [Inject]
    private ListPeopleHandler People { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _people = await People.HandleAsync(await Actors.GetAsync(ct), new ListPeople(), ct);
            return true;
        });

    private void Search(string? text) => _search = text ?? "";

    private List<PersonRow> Matching(bool isDisabled) =>
        [
            .. _people.Where(person =>
                person.Status == PersonStatus.Disabled == isDisabled
                && $"{person.Name} {person.SignInName}".Contains(_search.Trim(), StringComparison.CurrentCultureIgnoreCase)
            ),
        ];
}
