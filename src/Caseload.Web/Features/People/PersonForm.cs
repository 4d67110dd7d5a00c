using System.Net.Mail;
using System.Text;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.People;

/// <summary>A person as they stand in the form; texts stay as they were typed until they are checked.</summary>
public sealed class PersonForm
{
    // One name for several people cannot say who did what.
    private static readonly HashSet<string> _sharedNames = new(StringComparer.OrdinalIgnoreCase)
    {
        "admin",
        "administrator",
        "clinic",
        "contact",
        "everyone",
        "front-desk",
        "guest",
        "hello",
        "info",
        "mail",
        "office",
        "reception",
        "root",
        "shared",
        "staff",
        "support",
        "team",
        "test",
        "therapist",
        "user",
    };

    /// <summary>The name that colleagues see.</summary>
    public string Name { get; set; } = "";

    /// <summary>What the person types to sign in.</summary>
    public string SignInName { get; set; } = "";

    /// <summary>Where an invitation can be sent; may be empty.</summary>
    public string Email { get; set; } = "";

    /// <summary>What the person does here.</summary>
    public HashSet<Role> Roles { get; init; } = [];

    /// <summary>A clinician's initials.</summary>
    public string Initials { get; set; } = "";

    /// <summary>A clinician's discipline.</summary>
    public Discipline Discipline { get; set; }

    /// <summary>A clinician's further languages, separated by commas.</summary>
    public string Languages { get; set; } = "";

    /// <summary>The days on which a clinician works.</summary>
    public HashSet<DayOfWeek> WorkingDays { get; init; } = [.. PeopleWords.Week.Take(5)];

    /// <summary>Whether what belongs to a clinician is asked for.</summary>
    public bool IsClinician => Roles.Contains(Role.Clinician);

    /// <summary>The form without what surrounds the texts, or everything that keeps it from being saved.</summary>
    public Checked<PersonForm> Check()
    {
        var refusals = new List<Refusal>();
        Line(Name, "name", TextLimits.Name, "Give the name that colleagues know.");
        CheckSignInName(refusals);
        if (Email.Trim().Length > 0 && !IsAddress(Email.Trim()))
        {
            refusals.Add(new Refusal("email", "Enter one e-mail address, for example rosa@example.org, or leave it empty."));
        }
        if (Roles.Count == 0)
        {
            refusals.Add(new Refusal("roles", "Choose at least one role; without one a person could do nothing here."));
        }
        if (IsClinician)
        {
            Line(Initials, "initials", TextLimits.Initials, "Give initials for narrow columns.");
            refusals.AddRange(LanguageTags.Read(Languages, "languages").Refusals);
            if (WorkingDays.Count == 0)
            {
                refusals.Add(new Refusal("working-days", "Choose at least one working day."));
            }
        }
        return refusals.Count > 0 ? Checked.Refuse<PersonForm>(refusals) : Checked.Accept(Trimmed());

        void Line(string text, string field, int most, string empty)
        {
            if (text.Trim().Length == 0)
            {
                refusals.Add(new Refusal(field, empty));
            }
            else if (text.Trim().Length > most || !IsPlain(text.Trim()))
            {
                refusals.Add(new Refusal(field, $"Use up to {most} ordinary characters."));
            }
        }
    }

    /// <summary>Whether a text is one e-mail address and nothing else.</summary>
    public static bool IsAddress(string text) =>
        text.Length <= TextLimits.Address
        && IsPlain(text)
        && !text.Any(char.IsWhiteSpace)
        && MailAddress.TryCreate(text, out var address)
        && address.Address == text;

    private PersonForm Trimmed() =>
        new()
        {
            Name = Name.Trim(),
            SignInName = SignInName.Trim(),
            Email = Email.Trim(),
            Roles = Roles,
            Initials = Initials.Trim(),
            Discipline = Discipline,
            Languages = Languages.Trim(),
            WorkingDays = WorkingDays,
        };

    private void CheckSignInName(List<Refusal> refusals)
    {
        var name = SignInName.Trim();
        if (name.Length is < 2 or > TextLimits.Address || !IsPlain(name) || name.Any(char.IsWhiteSpace))
        {
            refusals.Add(
                new Refusal(
                    "sign-in-name",
                    $"Use an e-mail address or a short name of 2 to {TextLimits.Address} characters, without spaces."
                )
            );
        }
        else if (_sharedNames.Contains(name.Split('@')[0]))
        {
            refusals.Add(
                new Refusal(
                    "sign-in-name",
                    "Everybody signs in under a name of their own. Use one that says who it is, not a desk or a role."
                )
            );
        }
    }

    // No control characters, and no half of a character that neither the database nor a comparison can take.
    private static bool IsPlain(string text) => text.EnumerateRunes().All(rune => rune != Rune.ReplacementChar && !Rune.IsControl(rune));
}
