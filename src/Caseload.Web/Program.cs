using Caseload.Web.Platform;

try
{
    var start = HostStart.Parse(args);
    return start.Command switch
    {
        HostCommand.Help => HostStart.PrintUsage(),
        HostCommand.Health => await HealthCommand.RunAsync(start),
        HostCommand.Migrate => await MigrateCommand.RunAsync(start),
        HostCommand.Verify => await VerifyCommand.RunAsync(start),
        HostCommand.Permissions => PermissionsCommand.Run(),
        HostCommand.Summary => await SummaryCommand.RunAsync(start),
        HostCommand.Serve => await ServeCommand.RunAsync(start),
        _ => throw new InvalidOperationException("Unknown command."),
    };
}
catch (HostStartException exception)
{
    Console.Error.WriteLine(exception.Message);
    return 2;
}
