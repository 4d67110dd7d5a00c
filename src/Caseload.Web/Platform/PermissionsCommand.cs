using Caseload.Data.Access;

namespace Caseload.Web.Platform;

/// <summary>Prints which role may do what, as the contributor guide has it.</summary>
public static class PermissionsCommand
{
    /// <summary>Prints the table.</summary>
    public static int Run()
    {
        Console.Write(PermissionTable.ToMarkdown());
        return 0;
    }
}
